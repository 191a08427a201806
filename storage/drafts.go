package storage

import (
	"bytes"
	"fmt"

	"go.etcd.io/bbolt"
)

// Draft is the half-typed form kept under key; ok is false where there is none.
func (b *Book) Draft(key string) (doc []byte, ok bool, err error) {
	doing := fmt.Sprintf("reading draft %s in", key)
	var value []byte
	err = b.view(doing, func(tx *bbolt.Tx) error {
		drafts, err := bucket(tx, sortDrafts)
		if err != nil {
			return err
		}
		value = bytes.Clone(drafts.Get([]byte(key)))
		return nil
	})
	if err != nil || value == nil {
		return nil, false, err
	}
	fields, err := unseal(place{sort: sortDrafts, key: []byte(key)}, value)
	if err == nil && len(fields) != 1 {
		err = fmt.Errorf("%w: %d fields", ErrDamaged, len(fields))
	}
	if err != nil {
		return nil, false, explain(doing, b.path, err)
	}
	return fields[0], true, nil
}

// Drafts are the keys of all half-typed forms, in order.
func (b *Book) Drafts() ([]string, error) {
	var keys []string
	err := b.view("listing drafts in", func(tx *bbolt.Tx) error {
		drafts, err := bucket(tx, sortDrafts)
		if err != nil {
			return err
		}
		return drafts.ForEach(func(key, _ []byte) error {
			keys = append(keys, string(key))
			return nil
		})
	})
	return keys, err
}

// SaveDraft keeps a half-typed form under key, in place of what was there.
func (b *Book) SaveDraft(key string, doc []byte) error {
	doing := fmt.Sprintf("saving draft %s in", key)
	if key == "" {
		return explain(doing, b.path, ErrNoKey)
	}
	return b.update(doing, func(tx *bbolt.Tx) error {
		drafts, err := bucket(tx, sortDrafts)
		if err != nil {
			return err
		}
		return drafts.Put([]byte(key), seal(place{sort: sortDrafts, key: []byte(key)}, doc))
	})
}

// DropDraft forgets the half-typed form under key, if there is one.
func (b *Book) DropDraft(key string) error {
	return b.update(fmt.Sprintf("dropping draft %s from", key), func(tx *bbolt.Tx) error {
		return dropDraft(tx, key)
	})
}

func dropDraft(tx *bbolt.Tx, key string) error {
	drafts, err := bucket(tx, sortDrafts)
	if err != nil {
		return err
	}
	return drafts.Delete([]byte(key))
}
