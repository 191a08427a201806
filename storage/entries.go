package storage

import (
	"fmt"
	"strconv"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

// Items are a bow's entries in order of their keys. One that is damaged or missing makes all of them an
// error: figures from the rest would be wrong.
func (b *Book) Items(bow string) (items []record.Item, err error) {
	var desc record.Description
	var found []line
	doing := "reading the entries of bow " + bow + " in"
	err = b.view(doing, func(tx *bbolt.Tx) error {
		if desc, err = bowIn(tx, bow); err != nil {
			return err
		}
		entries, err := entriesOf(tx, bow)
		if err != nil {
			return err
		}
		start := startOfBow(bow)
		err = entries.ForEach(func(key, value []byte) error {
			var l line
			err := unseal(value, startOfEntry(start, keyText(key)), &l)
			if n := len(found); err == nil && n > 0 && found[n-1].Key >= l.Key { // the same page twice, say
				err = fmt.Errorf("%w: it is out of order", ErrDamaged)
			}
			if err != nil {
				return fmt.Errorf("%s: %w", place{bow, keyText(key)}, err)
			}
			found = append(found, l)
			return nil
		})
		if err != nil {
			return err
		}
		return checkCount(tx, bow, len(found))
	})
	if err != nil {
		return nil, err
	}
	items = make([]record.Item, len(found))
	for i, l := range found {
		if items[i], err = l.item(desc.Bow.Units); err != nil {
			return nil, explain(doing, b.path, err)
		}
	}
	return items, nil
}

// AddItems adds entries, each with its key, to a bow and drops the draft that they came from ("" is none):
// all of it or nothing. An entry whose key is taken is refused.
func (b *Book) AddItems(bow string, items []record.Item, draft string) error {
	doing := "adding to bow " + bow + " in"
	_, ok, err := b.Bow(bow)
	if err == nil && !ok {
		err = fmt.Errorf("%s: %w", bow, ErrNoBow)
	}
	all, wrong := lines(bow, nil, items)
	return b.save(doing, all, also(err, wrong), draft)
}

// save saves lines, unless making them failed, and drops a draft.
func (b *Book) save(doing string, lines []line, failed error, draft string) error {
	if failed != nil {
		return explain(doing, b.path, failed)
	}
	if len(lines) > 0 {
		lines[0].Draft = draft
	}
	return b.update(doing, lines, func(tx *bbolt.Tx) error {
		for _, l := range lines {
			fresh, err := put(tx, l)
			if err == nil && !fresh {
				err = fmt.Errorf("%s is %w", l.place(), ErrTaken)
			}
			if err != nil {
				return err
			}
		}
		return bucket(tx, draftsBucket).Delete([]byte(draft))
	})
}

// countOf is how many entries the book says that a bow has.
func countOf(tx *bbolt.Tx, bow string) (int, error) {
	text, err := unsealText(countsBucket, bow, bucket(tx, countsBucket).Get([]byte(bow)))
	if err != nil || len(text) == 0 {
		return 0, err
	}
	return strconv.Atoi(string(text))
}

// addCount adds to the number of a bow's entries.
func addCount(tx *bbolt.Tx, bow string, more int) error {
	n, err := countOf(tx, bow)
	if err != nil {
		return err
	}
	return putText(tx, countsBucket, bow, strconv.AppendInt(nil, int64(n+more), 10))
}

// checkCount compares the number of entries that were found with the one that the book keeps.
func checkCount(tx *bbolt.Tx, bow string, found int) error {
	n, err := countOf(tx, bow)
	if err == nil && n != found {
		err = fmt.Errorf("bow %s: %w: %d of %d entries are there", bow, ErrDamaged, found, n)
	}
	return err
}
