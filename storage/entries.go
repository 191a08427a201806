package storage

import (
	"cmp"
	"fmt"
	"sync"

	"go.etcd.io/bbolt"

	"bendbook/model/measure"
	"bendbook/model/record"
)

// Items are a bow's entries in order of their keys. One that is damaged makes all of them an error: figures from
// the rest would be wrong without a word. Check finds which are whole.
func (b *Book) Items(bow string) ([]record.Item, error) {
	doing := fmt.Sprintf("reading the entries of bow %s in", bow)
	b.walkRest()
	var desc storedBow
	var stored []storedItem
	err := b.straight(doing, func(w *walker) (err error) {
		var known bool
		if desc, known, err = w.storedBow(bow); err != nil || !known {
			return orNoBow(bow, err)
		}
		stored, err = w.storedItems(bow)
		return err
	})
	var units measure.Units
	if err == nil {
		if units, _, _, err = desc.fields(); err != nil {
			err = fmt.Errorf("bow %s: %w", bow, err)
		}
	}
	var items []record.Item
	if err == nil {
		items, err = understood(stored, units)
	}
	// What is wrong with the book as a whole goes first, and nothing is handed out before that is known.
	if flaw := b.Whole(); flaw != nil {
		return nil, flaw
	}
	if err != nil {
		return nil, explain(doing, b.path, err)
	}
	return items, nil
}

// understoodAlone is how many entries are read by one thread: who opens a bow of thousands waits for them.
const understoodAlone = 500

// understood are the entries as their documents tell them, or what is wrong with the first that cannot be read.
func understood(stored []storedItem, units measure.Units) ([]record.Item, error) {
	items := make([]record.Item, len(stored))
	var group sync.WaitGroup
	faults := make([]error, (len(stored)+understoodAlone-1)/understoodAlone)
	for n := range faults {
		read := func() {
			for i := n * understoodAlone; i < min((n+1)*understoodAlone, len(stored)) && faults[n] == nil; i++ {
				items[i], faults[n] = stored[i].item(units)
			}
		}
		if len(faults) == 1 {
			read()
		} else {
			group.Go(read)
		}
	}
	group.Wait()
	return items, cmp.Or(faults...)
}

// AddItems adds entries, each with its key, to a bow and drops the draft that they came from (draft "" is none):
// all of it or nothing. An entry whose key is taken is refused.
func (b *Book) AddItems(bow string, items []record.Item, draft string) error {
	return b.update(fmt.Sprintf("adding to bow %s in", bow), func(tx *bbolt.Tx) error {
		if _, ok, err := bowIn(tx, bow); err != nil || !ok {
			return orNoBow(bow, err)
		}
		entries, err := entriesOf(tx, bow)
		if err != nil {
			return err
		}
		if err := dropTag(tx, bow); err != nil {
			return err
		}
		if err := putItems(entries, bow, items); err != nil || draft == "" {
			return err
		}
		return dropDraft(tx, draft)
	})
}

func putItems(entries *bbolt.Bucket, bow string, items []record.Item) error {
	for _, item := range items {
		if item.Key.IsZero() {
			return fmt.Errorf("entry %s: %w", item.Entry.ID, ErrNoKey)
		}
		if entries.Get(item.Key[:]) != nil {
			return fmt.Errorf("entry %s: the key %s is %w", item.Entry.ID, item.Key, ErrTaken)
		}
		if err := entries.Put(item.Key[:], sealItem(bow, item)); err != nil {
			return err
		}
	}
	return nil
}

func orNoBow(bow string, err error) error {
	if err != nil {
		return err
	}
	return fmt.Errorf("%s: %w", bow, ErrNoBow)
}

// entriesOf is the bucket of a bow that the book has.
func entriesOf(tx *bbolt.Tx, bow string) (*bbolt.Bucket, error) {
	all, err := bucket(tx, sortEntries)
	if err != nil {
		return nil, err
	}
	if entries := all.Bucket([]byte(bow)); entries != nil {
		return entries, nil
	}
	return nil, fmt.Errorf("%w: the entries of bow %s are missing", ErrDamaged, bow)
}

// storedItem is an entry as it stands in the book.
type storedItem struct {
	bow        string
	key, value []byte
}

// sealItem keeps an entry's id beside its document: one that its record gave no id has one all the same.
func sealItem(bow string, item record.Item) []byte {
	return seal(place{sortEntries, bow, item.Key[:]}, []byte(item.Entry.ID), item.Doc)
}

// item reads the entry, whose numbers are in the given units; the error names it.
func (s storedItem) item(units measure.Units) (record.Item, error) {
	fail := func(err error) (record.Item, error) {
		return record.Item{}, fmt.Errorf("bow %s, entry %s: %w", s.bow, s.name(), err)
	}
	fields, err := unseal(place{sortEntries, s.bow, s.key}, s.value)
	if err != nil {
		return fail(err)
	}
	if len(fields) != 2 || len(s.key) != len(record.Key{}) {
		return fail(fmt.Errorf("%w: %d fields under a key of %d bytes", ErrDamaged, len(fields), len(s.key)))
	}
	item, err := record.ParseItem(fields[1], units)
	if err != nil {
		return fail(err)
	}
	if item.Entry.ID != string(fields[0]) {
		item.Entry.ID = string(fields[0])
	}
	item.Key = record.Key(s.key)
	return item, nil
}

// name is the key as an id, or what there is of it.
func (s storedItem) name() string {
	if len(s.key) == len(record.Key{}) {
		return record.Key(s.key).String()
	}
	return fmt.Sprintf("%x", s.key)
}

// whole compares the entry with its checksum.
func (s storedItem) whole() error {
	if _, err := unseal(place{sortEntries, s.bow, s.key}, s.value); err != nil {
		return fmt.Errorf("bow %s, entry %s: %w", s.bow, s.name(), err)
	}
	return nil
}
