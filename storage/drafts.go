package storage

import (
	"encoding/json"
	"errors"
	"fmt"
	"strconv"

	"go.etcd.io/bbolt"
)

// Draft is the half-typed form kept under key; ok is false where there is none.
func (b *Book) Draft(key string) (doc []byte, ok bool, err error) {
	err = b.view("reading draft "+key+" in", func(tx *bbolt.Tx) error {
		doc, err = unsealText(draftsBucket, key, bucket(tx, draftsBucket).Get([]byte(key)))
		return err
	})
	return doc, doc != nil, err
}

// Drafts are the keys of all half-typed forms, in order.
func (b *Book) Drafts() (keys []string, err error) {
	err = b.view("listing the drafts of", func(tx *bbolt.Tx) error {
		return bucket(tx, draftsBucket).ForEach(func(key, _ []byte) error {
			keys = append(keys, string(key))
			return nil
		})
	})
	return keys, err
}

// SaveDraft keeps a half-typed form under key, in place of what was there.
func (b *Book) SaveDraft(key string, doc []byte) error {
	return b.update("saving draft "+key+" in", save{}, func(tx *bbolt.Tx) error {
		if key == "" {
			return fmt.Errorf("the draft: %w", errNoKey)
		}
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
	if !json.Valid(doc) {
		err = errors.New("they are no JSON")
	}
	n, _ := strconv.Atoi(last.Key) // 0 before the first
	var s save
	err = errors.Join(err, s.add(line{place: place{Key: fmt.Sprintf("%06d", n+1)}, Settings: doc}))
	return b.save(doing, s, err, "")
}

// Rows calls visit for each bow, in order of ids, with the number of its entries and its cached rack row, nil
// if there is none or it is damaged. visit may read the book.
func (b *Book) Rows(visit func(bow string, entries int, row []byte) error) error {
	var ids []string
	var counts []int
	var rows [][]byte
	err := b.view("listing the rack of", func(tx *bbolt.Tx) error {
		entries := bucket(tx, entriesBucket)
		return entries.ForEachBucket(func(id []byte) error {
			row, _ := unsealText(rowsBucket, string(id), bucket(tx, rowsBucket).Get(id))
			ids, rows = append(ids, string(id)), append(rows, row)
			counts = append(counts, int(entries.Bucket(id).Sequence()))
			return nil
		})
	})
	for i := 0; i < len(ids) && err == nil; i++ {
		err = visit(ids[i], counts[i], rows[i])
	}
	return err
}

// KeepRows caches rack rows by their bows' ids. Rows of bows that the book doesn't have are left out.
func (b *Book) KeepRows(rows map[string][]byte) error {
	return b.update("keeping the rack of", save{}, func(tx *bbolt.Tx) error {
		for id, row := range rows {
			if bucket(tx, bowsBucket).Get([]byte(id)) == nil {
				continue
			}
			if err := putText(tx, rowsBucket, id, row); err != nil {
				return err
			}
		}
		return nil
	})
}
