package storage

import (
	"errors"
	"fmt"
	"strconv"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

// Bow is one bow as it was first described, with its entries in order of their keys; ok is false where the
// book has no such bow. An entry that is damaged or missing makes all of them an error: figures from the rest
// would be wrong. The description comes with that error.
func (b *Book) Bow(id string) (rec record.Record, ok bool, err error) {
	var items []record.Item
	err = b.view("reading bow "+id+" in", func(tx *bbolt.Tx) error {
		if rec.Description, err = bowIn(tx, id); err != nil {
			return err
		}
		return eachEntry(tx, id, func(at place, value []byte, wrong error) error {
			var l line
			if wrong == nil {
				wrong = unseal(value, &l)
			}
			if wrong != nil {
				return fmt.Errorf("%s: %w", at, wrong)
			}
			item, err := l.item(rec.Bow.Units)
			items = append(items, item)
			return err
		})
	})
	switch {
	case errors.Is(err, errNoBow):
		return rec, false, nil
	case err == nil:
		rec.Items = items
	}
	return rec, true, err
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

// AddBow adds a new bow with its entries and drops the draft that it came from: all of it or nothing.
func (b *Book) AddBow(rec record.Record, draft string) error {
	id := rec.Bow.ID
	s, err := sealedLines(id, &rec.Description, rec.Items)
	if err == nil && id == "" {
		err = fmt.Errorf("the bow has no id (%w)", errNoKey)
	}
	return b.save("adding bow "+id+" to", s, err, draft)
}

// AddItems adds entries to a bow and drops the draft that they came from: all of it or nothing.
func (b *Book) AddItems(bow string, items []record.Item, draft string) error {
	doing := "adding to bow " + bow + " in"
	err := b.view(doing, func(tx *bbolt.Tx) (err error) {
		_, err = bowIn(tx, bow)
		return err
	})
	s, wrong := sealedLines(bow, nil, items)
	return b.save(doing, s, errors.Join(err, wrong), draft)
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

// Drafts are all half-typed forms by their keys.
func (b *Book) Drafts() (drafts map[string][]byte, err error) {
	err = b.view("reading the drafts of", func(tx *bbolt.Tx) error {
		var faults []error
		drafts, faults = texts(tx, draftsBucket)
		return errors.Join(faults...)
	})
	return drafts, err
}

// SaveDraft keeps a half-typed form under key, in place of what was there.
func (b *Book) SaveDraft(key string, doc []byte) error {
	return b.update("saving draft "+key+" in", save{}, func(tx *bbolt.Tx) error {
		return putText(tx, draftsBucket, key, doc)
	})
}

// DropDraft forgets the half-typed form under key, if there is one.
func (b *Book) DropDraft(key string) error {
	return b.save("dropping draft "+key+" from", save{}, nil, key)
}

// Settings are the shop's settings as they were kept last; ok is false where none were.
func (b *Book) Settings() (doc []byte, ok bool, err error) {
	l, err := b.lastSettings("reading the shop's settings in")
	return l.Settings, l.Settings != nil, err
}

// lastSettings is the line of the settings that were kept last.
func (b *Book) lastSettings(doing string) (l line, err error) {
	err = b.view(doing, func(tx *bbolt.Tx) error {
		key, value := bucket(tx, settingsBucket).Cursor().Last()
		if key == nil {
			return nil
		}
		return errors.Join(sealed(value, place{Key: string(key)}.start()), unseal(value, &l))
	})
	return l, err
}

// KeepSettings keeps the shop's settings. Those before stay in the book.
func (b *Book) KeepSettings(doc []byte) error {
	const doing = "keeping the shop's settings in"
	last, err := b.lastSettings(doing)
	if err != nil {
		return err
	}
	n, _ := strconv.Atoi(last.Key) // 0 before the first
	var s save
	err = s.add(line{place: place{Key: fmt.Sprintf("%06d", n+1)}, Settings: doc})
	return b.save(doing, s, err, "")
}

// Rows are how many entries each bow has, by the bow's id, and the rack rows that were cached and are whole.
func (b *Book) Rows() (entries map[string]int, rows map[string][]byte, err error) {
	entries = make(map[string]int)
	err = b.view("listing the rack of", func(tx *bbolt.Tx) error {
		rows, _ = texts(tx, rowsBucket)
		all := bucket(tx, entriesBucket)
		return all.ForEachBucket(func(id []byte) error {
			entries[string(id)] = int(all.Bucket(id).Sequence())
			return nil
		})
	})
	return entries, rows, err
}

// KeepRows caches rack rows by their bows' ids.
func (b *Book) KeepRows(rows map[string][]byte) error {
	return b.update("keeping the rack of", save{}, func(tx *bbolt.Tx) (err error) {
		for id, row := range rows {
			err = errors.Join(err, putText(tx, rowsBucket, id, row))
		}
		return err
	})
}
