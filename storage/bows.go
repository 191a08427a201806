package storage

import (
	"errors"
	"fmt"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

// Bows calls visit for each bow as it was first described, in order of ids, until visit fails. A damaged
// bow keeps no other back: the error that names it comes last. visit may read the book.
func (b *Book) Bows(visit func(record.Description) error) error {
	const doing = "listing the bows of"
	var all []record.Description
	var found tally
	err := b.view(doing, func(tx *bbolt.Tx) error {
		return bucket(tx, bowsBucket).ForEach(func(id, _ []byte) error {
			desc, err := bowIn(tx, string(id))
			if err == nil {
				all = append(all, desc)
			}
			found.fault(err)
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
	if errors.Is(err, errNoBow) {
		return desc, false, nil
	}
	return desc, err == nil, err
}

// bowIn reads a bow of the book. The error is an errNoBow where there is none.
func bowIn(tx *bbolt.Tx, id string) (record.Description, error) {
	value := bucket(tx, bowsBucket).Get([]byte(id))
	if value == nil {
		return record.Description{}, fmt.Errorf("%s: %w", id, errNoBow)
	}
	var l line
	err := sealed(value, place{Bow: id}.start())
	if err == nil {
		err = unseal(value, &l)
	}
	if err != nil {
		return record.Description{}, fmt.Errorf("bow %s: %w", id, err)
	}
	return l.description()
}

// Items are a bow's entries in order of their keys. One that is damaged or missing makes all of them an
// error: figures from the rest would be wrong.
func (b *Book) Items(bow string) (items []record.Item, err error) {
	err = b.view("reading the entries of bow "+bow+" in", func(tx *bbolt.Tx) error {
		desc, err := bowIn(tx, bow)
		if err != nil {
			return err
		}
		return eachEntry(tx, bow, func(at place, value []byte, wrong error) error {
			var l line
			if wrong == nil {
				wrong = unseal(value, &l)
			}
			if wrong != nil {
				return fmt.Errorf("%s: %w", at, wrong)
			}
			item, err := l.item(desc.Bow.Units)
			items = append(items, item)
			return err
		})
	})
	if err != nil {
		return nil, err
	}
	return items, nil
}

// AddBow adds a new bow with its entries, each with its key, and drops the draft that it came from ("" is
// none): all of it or nothing.
func (b *Book) AddBow(rec record.Record, draft string) error {
	id := rec.Bow.ID
	s, err := sealedLines(id, &rec.Description, rec.Items)
	if err == nil && id == "" {
		err = fmt.Errorf("the bow has no id (%w)", errNoKey)
	}
	return b.save("adding bow "+id+" to", s, err, draft)
}

// AddItems adds entries, each with its key, to a bow and drops the draft that they came from ("" is none):
// all of it or nothing. An entry whose key is taken is refused.
func (b *Book) AddItems(bow string, items []record.Item, draft string) error {
	_, ok, err := b.Bow(bow)
	if err == nil && !ok {
		err = fmt.Errorf("%s: %w", bow, errNoBow)
	}
	s, wrong := sealedLines(bow, nil, items)
	return b.save("adding to bow "+bow+" in", s, errors.Join(err, wrong), draft)
}

// save writes lines and drops a draft, or returns failed, the error from making the lines.
func (b *Book) save(doing string, s save, failed error, draft string) error {
	if failed != nil {
		return explain(doing, b.path, failed)
	}
	s.Draft = draft
	return b.update(doing, s, func(tx *bbolt.Tx) error {
		for _, text := range s.Lines {
			at, fresh, err := put(tx, text)
			if err == nil && !fresh {
				err = fmt.Errorf("%s is %w", at, errTaken)
			}
			if err != nil {
				return err
			}
		}
		return bucket(tx, draftsBucket).Delete([]byte(draft))
	})
}
