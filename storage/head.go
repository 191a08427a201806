package storage

import (
	"encoding/json"
	"fmt"

	"go.etcd.io/bbolt"
)

// bookFormat is the format that every book names.
const bookFormat = "bendbook/book"

// head is what a book says of itself. Its place, its seal and these three fields stay in every version to come.
type head struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	ID      string `json:"id"`
}

func headPlace() place { return place{sort: sortBook, key: []byte("head")} }

func putHead(tx *bbolt.Tx, h head) error {
	doc, err := json.Marshal(h)
	if err != nil {
		return err
	}
	b, err := bucket(tx, sortBook)
	if err != nil {
		return err
	}
	return b.Put(headPlace().key, seal(headPlace(), doc))
}

// readHead reads what an open book says of itself. The error wraps ErrForeign, ErrDamaged or ErrNewer.
func readHead(db *bbolt.DB, known int) (h head, err error) {
	err = guarded(func() error {
		return db.View(func(tx *bbolt.Tx) (err error) {
			h, err = headIn(tx, known)
			return err
		})
	})
	return h, err
}

func headIn(tx *bbolt.Tx, known int) (head, error) {
	b := tx.Bucket([]byte(sortBook))
	if b == nil {
		return head{}, ErrForeign
	}
	value := b.Get(headPlace().key)
	if value == nil {
		return head{}, ErrForeign
	}
	fields, err := unseal(headPlace(), value)
	if err != nil {
		return head{}, err
	}
	var h head
	switch {
	case len(fields) == 0 || json.Unmarshal(fields[0], &h) != nil || h.Format != bookFormat:
		return head{}, ErrForeign
	case h.Version > known:
		return head{}, fmt.Errorf("%w (the book's version is %d, this one knows up to %d)", ErrNewer, h.Version, known)
	case h.Version < 1:
		return head{}, fmt.Errorf("%w: version %d", ErrDamaged, h.Version)
	}
	return h, nil
}
