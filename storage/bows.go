package storage

import (
	"errors"
	"fmt"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

// Bows calls visit for each bow as it was first described, in order of ids, until visit fails. A damaged
// bow doesn't keep the others back: the error that names it comes after the last visit. visit may read the
// book.
func (b *Book) Bows(visit func(record.Description) error) error {
	const doing = "listing the bows of"
	var all []record.Description
	var found tally
	err := b.view(doing, func(tx *bbolt.Tx) error {
		return bucket(tx, bowsBucket).ForEach(func(id, _ []byte) error {
			desc, err := bowIn(tx, string(id))
			if err != nil {
				found.faults = append(found.faults, err)
				return nil
			}
			all = append(all, desc)
			return nil
		})
	})
	for i := 0; i < len(all) && err == nil; i++ {
		err = visit(all[i])
	}
	if err == nil {
		err = explain(doing, b.path, found.flaw())
	}
	return err
}

// Bow is one bow as it was first described; ok is false where the book has no such bow.
func (b *Book) Bow(id string) (desc record.Description, ok bool, err error) {
	err = b.view("reading bow "+id+" in", func(tx *bbolt.Tx) error {
		desc, err = bowIn(tx, id)
		return err
	})
	if errors.Is(err, ErrNoBow) {
		return desc, false, nil
	}
	return desc, err == nil, err
}

// bowIn reads a bow of the book. The error is an ErrNoBow where there is none.
func bowIn(tx *bbolt.Tx, id string) (record.Description, error) {
	value := bucket(tx, bowsBucket).Get([]byte(id))
	if value == nil {
		return record.Description{}, fmt.Errorf("%s: %w", id, ErrNoBow)
	}
	var l line
	if err := unseal(value, startOfBow(id), &l); err != nil {
		return record.Description{}, fmt.Errorf("bow %s: %w", id, err)
	}
	return l.description()
}

// AddBow adds a new bow with its entries, each with its key, and drops the draft that it came from ("" is
// none): all of it or nothing.
func (b *Book) AddBow(rec record.Record, draft string) error {
	id := rec.Bow.ID
	all, err := lines(id, &rec.Description, rec.Items)
	if err == nil && id == "" {
		err = fmt.Errorf("the bow has no id (%w)", ErrNoKey)
	}
	return b.save("adding bow "+id+" to", all, err, draft)
}
