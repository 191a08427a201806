package storage

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"github.com/oklog/ulid/v2"
	"go.etcd.io/bbolt"
)

// The book's format. Version 1 was another layout, which isn't read any more.
const (
	bookFormat  = "bendbook/book"
	bookVersion = 2
)

// pageSize of a book: the same on every machine.
const pageSize = 4096

// head is what a book says of itself. Its place, its seal and its first three fields stay in every version
// to come.
type head struct {
	Format  string   `json:"format"`
	Version int      `json:"version"`
	ID      string   `json:"id"`
	Journal position `json:"journal"` // how far in the journal the book is
}

func putHead(tx *bbolt.Tx, h head) error {
	text, err := seal(h)
	if err != nil {
		return err
	}
	return bucket(tx, bookBucket).Put([]byte("head"), text)
}

// readHead returns what a book says of itself. The error wraps ErrForeign, ErrOld, ErrDamaged or ErrNewer.
func readHead(tx *bbolt.Tx) (h head, err error) {
	b := bucket(tx, bookBucket)
	if b == nil {
		return h, ErrForeign
	}
	text := b.Get([]byte("head"))
	switch {
	case bytes.HasPrefix(text, []byte("\x01")) && bytes.Contains(text, []byte(bookFormat)):
		return h, ErrOld
	case !bytes.HasPrefix(text, []byte(sealStart)) && !bytes.Contains(text, []byte(bookFormat)):
		return h, ErrForeign
	}
	err = unseal(text, &h)
	if err == nil && h.Version > bookVersion {
		err = fmt.Errorf("%w (its version is %d, this one knows up to %d)", ErrNewer, h.Version, bookVersion)
	}
	return h, err
}

// begin lays a new, empty book at path. One that another process made meanwhile is left as it is. Where a
// journal lies without its book, the book was lost, and none is begun.
func begin(path string, now time.Time) error {
	if _, err := os.Lstat(journalPath(path)); err == nil {
		return ErrLost
	}
	err := newFile(path, false, func(draft *os.File) error { return prepare(draft.Name(), now) })
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	return err
}

// prepare makes an empty file an empty book.
func prepare(path string, now time.Time) error {
	id, err := ulid.New(ulid.Timestamp(now), rand.Reader)
	if err != nil {
		return fmt.Errorf("making the book's id: %w", err)
	}
	db, file, err := openBolt(path, bbolt.Options{})
	if err != nil {
		return err
	}
	err = guarded(func() error {
		return db.Update(func(tx *bbolt.Tx) error {
			for _, name := range buckets() {
				if _, err := tx.CreateBucket([]byte(name)); err != nil {
					return err
				}
			}
			return putHead(tx, head{bookFormat, bookVersion, id.String(), position{}})
		})
	})
	return errors.Join(err, closeAfter(err, db, file))
}
