package storage

import (
	"fmt"

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
	doing := "saving draft " + key + " in"
	if key == "" {
		return explain(doing, b.path, fmt.Errorf("the draft: %w", ErrNoKey))
	}
	return b.update(doing, nil, func(tx *bbolt.Tx) error { return putText(tx, draftsBucket, key, doc) })
}

// DropDraft forgets the half-typed form under key, if there is one.
func (b *Book) DropDraft(key string) error {
	return b.save("dropping draft "+key+" from", nil, nil, key)
}
