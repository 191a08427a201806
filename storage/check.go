package storage

import (
	"bytes"
	"fmt"

	"go.etcd.io/bbolt"
)

// Fault is one thing in the book that is not as it was written.
type Fault struct {
	Bow   string // "" where it belongs to none
	Entry string // the entry's key as an id; "" where it is no entry's
	Err   error  // names the bow and the entry too
}

// String is the fault in one line.
func (f Fault) String() string { return shown(f.Err.Error()) }

// Check reads everything in the book and compares it with its checksums. It finds faults in what is stored; none
// means that all of it can be read back.
func (b *Book) Check() []Fault {
	var faults []Fault
	add := func(bow, entry string, err error) {
		if err != nil {
			faults = append(faults, Fault{bow, entry, err})
		}
	}
	if err := b.Whole(); err != nil {
		return []Fault{{Err: err}}
	}
	err := b.view("checking", func(tx *bbolt.Tx) error {
		bows, err := bucket(tx, sortBows)
		if err != nil {
			return err
		}
		err = bows.ForEach(func(id, value []byte) error {
			checkBow(tx, storedBow{string(id), bytes.Clone(value)}, add)
			return nil
		})
		if err != nil {
			return err
		}
		return checkOrphans(tx, add)
	})
	add("", "", err)
	add("", "", b.checkHeads())
	add("", "", b.checkParts())
	add("", "", b.checkDrafts())
	add("", "", b.checkSettings())
	return faults
}

func checkBow(tx *bbolt.Tx, bow storedBow, add func(bow, entry string, err error)) {
	_, err := bow.description()
	add(bow.id, "", err)
	entries, err := entriesOf(tx, bow.id)
	if err != nil {
		add(bow.id, "", err)
		return
	}
	units, _, _, unitsErr := bow.fields()
	cursor := entries.Cursor()
	for key, value := cursor.First(); key != nil; key, value = cursor.Next() {
		item := storedItem{bow.id, bytes.Clone(key), bytes.Clone(value)}
		var err error
		if unitsErr == nil {
			_, err = item.item(units)
		} else {
			err = item.whole()
		}
		add(bow.id, item.name(), err)
	}
}

// checkOrphans finds entries without their bow.
func checkOrphans(tx *bbolt.Tx, add func(bow, entry string, err error)) error {
	all, err := bucket(tx, sortEntries)
	if err != nil {
		return err
	}
	return all.ForEach(func(id, _ []byte) error {
		_, known, err := bowIn(tx, string(id))
		if err == nil && !known {
			err = fmt.Errorf("%w: there are entries of bow %s, which is missing", ErrDamaged, string(id))
		}
		add(string(id), "", err)
		return nil
	})
}

func (b *Book) checkDrafts() error {
	return b.view("checking the drafts of", func(tx *bbolt.Tx) error {
		drafts, err := bucket(tx, sortDrafts)
		if err != nil {
			return err
		}
		return drafts.ForEach(func(key, value []byte) error {
			if _, err := unseal(place{sort: sortDrafts, key: bytes.Clone(key)}, value); err != nil {
				return fmt.Errorf("draft %s: %w", string(key), err)
			}
			return nil
		})
	})
}
