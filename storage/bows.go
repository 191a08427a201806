package storage

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"

	"go.etcd.io/bbolt"

	"bendbook/model/measure"
	"bendbook/model/record"
)

// The names of the buckets, which are also the sorts of sealed values.
const (
	sortBook    = "book"
	sortBows    = "bows"
	sortEntries = "entries"
	sortDrafts  = "drafts"
	// These come into a book with the first value that they hold.
	sortTags     = "tags"
	sortSettings = "settings"
)

// firstParts are the buckets that every book has.
func firstParts() []string { return []string{sortBook, sortBows, sortEntries, sortDrafts} }

// bowsAtOnce is how many bows are taken from the book between two visits, so that no transaction is open meanwhile.
const bowsAtOnce = 256

// Bows calls visit for each bow as it was first described, in order of their ids, until visit fails. A bow that is
// damaged does not keep the others back: the error that names it comes after the last visit.
//
// visit runs while no transaction is open and may read the book. A bow that is added meanwhile may be left out.
func (b *Book) Bows(visit func(record.Description) error) error {
	doing := "listing the bows of"
	var faults []error
	for from, more := []byte(nil), true; more; {
		batch, err := b.bowsFrom(from)
		if err != nil {
			return err
		}
		for _, bow := range batch {
			desc, err := bow.description()
			if err != nil {
				faults = append(faults, err)
				continue
			}
			if err := visit(desc); err != nil {
				return err
			}
		}
		if more = len(batch) == bowsAtOnce; more {
			// The next possible id after the last one.
			from = append([]byte(batch[len(batch)-1].id), 0)
		}
	}
	if len(faults) > 0 {
		return explain(doing, b.path, joinFaults("bows", faults))
	}
	return nil
}

// joinFaults is one line for the damage that a listing met.
func joinFaults(what string, faults []error) error {
	if len(faults) == 1 {
		return faults[0]
	}
	return fmt.Errorf("%w, and %d more %s", faults[0], len(faults)-1, what)
}

// bowsFrom takes up to bowsAtOnce bows, beginning with the first whose id is not before from.
func (b *Book) bowsFrom(from []byte) ([]storedBow, error) {
	var batch []storedBow
	err := b.view("listing the bows of", func(tx *bbolt.Tx) error {
		bows, err := bucket(tx, sortBows)
		if err != nil {
			return err
		}
		cursor := bows.Cursor()
		for id, value := cursor.Seek(from); id != nil && len(batch) < bowsAtOnce; id, value = cursor.Next() {
			batch = append(batch, storedBow{string(id), bytes.Clone(value)})
		}
		return nil
	})
	return batch, err
}

// Bow is one bow as it was first described; ok is false where the book has no such bow.
func (b *Book) Bow(id string) (desc record.Description, ok bool, err error) {
	doing := fmt.Sprintf("reading bow %s in", id)
	var stored storedBow
	err = b.straight(doing, func(w *walker) (err error) {
		stored, ok, err = w.storedBow(id)
		return err
	})
	if err != nil || !ok {
		return record.Description{}, false, err
	}
	desc, err = stored.description()
	return desc, err == nil, explain(doing, b.path, err)
}

// AddBow adds a new bow with its entries, each with its key, and drops the draft that it came from (draft "" is none):
// all of it or nothing.
func (b *Book) AddBow(rec record.Record, draft string) error {
	id := rec.Bow.ID
	doing := fmt.Sprintf("adding bow %s to", id)
	if id == "" {
		return explain(doing, b.path, fmt.Errorf("the bow has no id (%w)", ErrNoKey))
	}
	value := sealBow(rec.Description)
	// What cannot be read back must not be confirmed.
	if _, err := (storedBow{id, value}).description(); err != nil {
		return explain(doing, b.path, err)
	}
	return b.update(doing, func(tx *bbolt.Tx) error {
		if err := addBow(tx, id, value, rec.Items); err != nil || draft == "" {
			return err
		}
		return dropDraft(tx, draft)
	})
}

func addBow(tx *bbolt.Tx, id string, value []byte, items []record.Item) error {
	if err := dropTag(tx, id); err != nil {
		return err
	}
	bows, err := bucket(tx, sortBows)
	if err != nil {
		return err
	}
	if bows.Get([]byte(id)) != nil {
		return fmt.Errorf("bow %s is %w", id, ErrTaken)
	}
	if err := bows.Put([]byte(id), value); err != nil {
		return err
	}
	all, err := bucket(tx, sortEntries)
	if err != nil {
		return err
	}
	entries, err := all.CreateBucket([]byte(id))
	if err != nil {
		return err
	}
	return putItems(entries, id, items)
}

// storedBow is a bow as it stands in the book: its id and its sealed value.
type storedBow struct {
	id    string
	value []byte
}

func bowIn(tx *bbolt.Tx, id string) (bow storedBow, ok bool, err error) {
	bows, err := bucket(tx, sortBows)
	if err != nil {
		return storedBow{}, false, err
	}
	value := bows.Get([]byte(id))
	return storedBow{id, bytes.Clone(value)}, value != nil, nil
}

// sealBow keeps what a description says beside its own document: first the units, then the document, then names and
// values of the record's further fields.
func sealBow(desc record.Description) []byte {
	fields := [][]byte{[]byte(desc.Bow.Units.Length), []byte(desc.Bow.Units.Force), desc.Doc}
	for _, name := range slices.Sorted(maps.Keys(desc.Extra)) {
		fields = append(fields, []byte(name), desc.Extra[name])
	}
	return seal(place{sort: sortBows, key: []byte(desc.Bow.ID)}, fields...)
}

// fields are the parts that sealBow put together.
func (s storedBow) fields() (units measure.Units, doc []byte, extra [][]byte, err error) {
	fields, err := unseal(place{sort: sortBows, key: []byte(s.id)}, s.value)
	if err != nil {
		return units, nil, nil, err
	}
	if len(fields) < 3 || len(fields)%2 != 1 {
		return units, nil, nil, fmt.Errorf("%w: %d fields", ErrDamaged, len(fields))
	}
	units = measure.Units{Length: measure.LengthUnit(fields[0]), Force: measure.ForceUnit(fields[1])}
	if err := units.Check(); err != nil {
		return units, nil, nil, err
	}
	return units, fields[2], fields[3:], nil
}

// description reads the bow; the error names it.
func (s storedBow) description() (record.Description, error) {
	units, doc, extra, err := s.fields()
	if err != nil {
		return record.Description{}, fmt.Errorf("bow %s: %w", s.id, err)
	}
	desc, err := record.ParseDescription(doc, units)
	if err == nil && desc.Bow.ID != s.id {
		err = errors.New("its description names another bow")
	}
	if err != nil {
		return record.Description{}, fmt.Errorf("bow %s: its description cannot be read: %w", s.id, err)
	}
	desc.Doc = doc
	for ; len(extra) > 0; extra = extra[2:] {
		if desc.Extra == nil {
			desc.Extra = make(map[string]json.RawMessage)
		}
		desc.Extra[string(extra[0])] = extra[1]
	}
	return desc, nil
}

// bucket is one of the book's own buckets.
func bucket(tx *bbolt.Tx, name string) (*bbolt.Bucket, error) {
	if b := tx.Bucket([]byte(name)); b != nil {
		return b, nil
	}
	return nil, fmt.Errorf("%w: its part %q is missing", ErrDamaged, name)
}
