package storage

import (
	"crypto/rand"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"github.com/oklog/ulid/v2"
	"go.etcd.io/bbolt"

	"bendbook/model/measure"
	"bendbook/model/record"
)

// refillAtOnce is how many values go into a new book in one transaction.
const refillAtOnce = 4096

// refill brings what a salvage found into a new book.
type refill struct {
	*salvage
	head  head
	units measure.Units // of a bow of which nothing else is known: those of most bows
	done  Rescued
}

// newRefill refuses what holds nothing of a book that this program can read.
func newRefill(s *salvage, opts Options) (*refill, error) {
	h, err := s.head(opts.schema.version)
	if err != nil {
		return nil, err
	}
	r := &refill{salvage: s, done: Rescued{Gaps: s.gaps}}
	if h == nil {
		if len(s.bowIDs()) == 0 && len(s.found[shelf{sort: sortDrafts}])+len(s.found[shelf{sort: sortSettings}]) == 0 {
			return nil, ErrForeign
		}
		id, err := ulid.New(ulid.Timestamp(opts.Now()), rand.Reader)
		if err != nil {
			return nil, fmt.Errorf("making the book's id: %w", err)
		}
		h = &head{Format: bookFormat, Version: opts.schema.version, ID: id.String()}
	}
	r.head = *h
	r.units = r.commonUnits()
	return r, nil
}

// commonUnits are those of most bows whose description is whole.
func (r *refill) commonUnits() measure.Units {
	count := make(map[measure.Units]int)
	common := measure.Units{Length: measure.Inch, Force: measure.PoundForce}
	in := shelf{sort: sortBows}
	for _, id := range slices.Sorted(maps.Keys(r.found[in])) {
		value, err := r.value(in, id, r.found[in][id])
		if err != nil {
			continue
		}
		if units, _, _, err := (storedBow{id, value}).fields(); err == nil {
			if count[units]++; count[units] > count[common] {
				common = units
			}
		}
	}
	return common
}

// write fills an empty file with a book and reads it back.
func (r *refill) write(path string, opts Options) error {
	db, file, err := openBolt(path, bbolt.Options{PageSize: pageSize, MaxSize: opts.maxSize}, opts.openFile)
	if err != nil {
		return err
	}
	db.NoSync = true // until all of it is written
	err = guarded(func() error {
		if err := r.fill(db, opts.schema.version); err != nil {
			return err
		}
		return db.Sync()
	})
	if err := closeAfter(err, db, file); err != nil {
		return err
	}
	return r.verify(path, opts)
}

func (r *refill) fill(db *bbolt.DB, version int) error {
	err := db.Update(func(tx *bbolt.Tx) error {
		for _, name := range firstParts() {
			if _, err := tx.CreateBucket([]byte(name)); err != nil {
				return err
			}
		}
		return putHead(tx, r.head)
	})
	if err != nil {
		return err
	}
	for _, id := range r.bowIDs() {
		if err := r.bow(db, id); err != nil {
			return err
		}
	}
	if err := r.others(db); err != nil {
		return err
	}
	for _, flaw := range r.flaws {
		if flaw.in.sort == sortTags || r.has(flaw) {
			continue
		}
		r.done.Lost = append(r.done.Lost, flaw.fault())
	}
	return nil
}

// has says whether a value that is not whole where it should be is in the new book all the same.
func (r *refill) has(f flaw) bool {
	if _, ok := r.found[f.in][f.key]; ok {
		return true
	}
	if f.in.sort != sortEntries {
		return false
	}
	// It may have come to stand under another bow's name.
	for _, keys := range r.found {
		if at, ok := keys[f.key]; ok && at.at == f.at {
			return true
		}
	}
	return false
}

// lose notes a value that cannot be brought after all.
func (r *refill) lose(bow, entry string, err error) {
	r.done.Lost = append(r.done.Lost, Fault{Bow: bow, Entry: entry, Err: err})
}

// bow brings a bow and its entries.
func (r *refill) bow(db *bbolt.DB, id string) error {
	desc, units, old := r.description(id)
	in := shelf{sortEntries, id}
	var items []storedItem
	for _, key := range slices.Sorted(maps.Keys(r.found[in])) {
		item := storedItem{bow: id, key: []byte(key)}
		value, err := r.value(in, key, r.found[in][key])
		if item.value = value; err == nil {
			item, err = r.readable(item, units)
		}
		if err != nil {
			r.lose(id, item.name(), err)
			continue
		}
		if r.found[in][key].from != newest {
			r.done.Old++
		}
		items = append(items, item)
	}
	if desc == nil {
		var err error
		if desc, err = standIn(id, units, items); err != nil {
			return err
		}
		r.done.Undescribed = append(r.done.Undescribed, Undescribed{ID: id, Named: !r.nameless[id], Entries: len(items)})
	}
	if old {
		r.done.Old++
	}
	r.done.Bows++
	r.done.Entries += len(items)
	for first := true; first || len(items) > 0; first = false {
		now := items[:min(len(items), refillAtOnce)]
		items = items[len(now):]
		err := db.Update(func(tx *bbolt.Tx) error {
			if first {
				if err := addBow(tx, id, desc, nil); err != nil {
					return err
				}
			}
			entries, err := entriesOf(tx, id)
			if err != nil {
				return err
			}
			for _, item := range now {
				if err := entries.Put(item.key, item.value); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// readable is an entry that can be read, sealed as one of its bow.
func (r *refill) readable(item storedItem, units measure.Units) (storedItem, error) {
	if r.nameless[item.bow] {
		// Its seal is that of a bow whose id nobody knows any more.
		fields, err := fieldsOf(item.value)
		if err != nil {
			return item, fmt.Errorf("bow %s, entry %s: %w", item.bow, item.name(), err)
		}
		item.value = seal(place{sortEntries, item.bow, item.key}, fields...)
	}
	_, err := item.item(units)
	return item, err
}

// description is a bow's sealed description with its units; nil where it is lost.
func (r *refill) description(id string) (desc []byte, units measure.Units, old bool) {
	in := shelf{sort: sortBows}
	at, ok := r.found[in][id]
	if !ok {
		return nil, r.units, false
	}
	value, err := r.value(in, id, at)
	bow := storedBow{id, value}
	if err == nil {
		_, err = bow.description()
	}
	if err == nil {
		units, _, _, err = bow.fields()
	}
	if err != nil {
		r.lose(id, "", err)
		return nil, r.units, false
	}
	return value, units, at.from != newest
}

// standIn is a description for a bow that has lost its own: as many stations as its readings have.
func standIn(id string, units measure.Units, items []storedItem) ([]byte, error) {
	stations := 0
	for _, item := range items {
		fields, err := fieldsOf(item.value)
		if err != nil || len(fields) < 2 {
			continue
		}
		var rows struct{ Upper, Lower []any }
		_ = json.Unmarshal(fields[1], &rows) // what has no such rows tells nothing
		stations = max(stations, len(rows.Upper), len(rows.Lower))
	}
	length := 34.0
	switch units.Length {
	case measure.Centimetre:
		length = 86
	case measure.Millimetre:
		length = 860
	}
	limb := map[string]any{"length": length}
	if stations > 0 {
		at := make([]float64, stations)
		for i := range at {
			at[i] = length * float64(i+1) / float64(stations)
		}
		limb["stations"] = at
	}
	doc, err := json.Marshal(map[string]any{
		"id": id, "name": fmt.Sprintf("Recovered, description lost: %s", id), "limbs": map[string]any{"upper": limb, "lower": limb},
	})
	if err != nil {
		return nil, err
	}
	desc, err := record.ParseDescription(doc, units)
	if err != nil {
		return nil, fmt.Errorf("a description for bow %s: %w", id, err)
	}
	desc.Doc = doc
	return sealBow(desc), nil
}

// others brings drafts and settings.
func (r *refill) others(db *bbolt.DB) error {
	return db.Update(func(tx *bbolt.Tx) error {
		for sort, count := range map[string]*int{sortDrafts: &r.done.Drafts, sortSettings: &r.done.Settings} {
			in := shelf{sort: sort}
			for _, key := range slices.Sorted(maps.Keys(r.found[in])) {
				value, err := r.value(in, key, r.found[in][key])
				if err != nil {
					r.lose("", "", err)
					continue
				}
				b, err := tx.CreateBucketIfNotExists([]byte(sort))
				if err != nil {
					return err
				}
				if err := b.Put([]byte(key), value); err != nil {
					return err
				}
				if *count++; r.found[in][key].from != newest {
					r.done.Old++
				}
				if sort == sortSettings && len(key) == 8 {
					// The next ones come after these.
					if err := b.SetSequence(max(b.Sequence(), binary.BigEndian.Uint64([]byte(key)))); err != nil {
						return err
					}
				}
			}
		}
		return nil
	})
}

// verify reads the new book back.
func (r *refill) verify(path string, opts Options) error {
	if r.head.Version < opts.schema.version {
		return nil // It is read when it is brought up to date.
	}
	book, err := Open(path, Options{ReadOnly: true, Now: opts.Now, schema: opts.schema})
	if err != nil {
		return err
	}
	faults := book.Check()
	if err := book.Close(); err != nil {
		return err
	}
	if len(faults) > 0 {
		return fmt.Errorf("the new book does not read back: %w", faults[0].Err)
	}
	return nil
}
