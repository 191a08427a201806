package storage

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"go.etcd.io/bbolt"
)

// schema is the version of books that is written, and how earlier ones are brought up to it.
type schema struct {
	version int
	// steps[v] turns a book of version v into one of version v+1. It must not touch the head.
	steps map[int]func(*bbolt.Tx) error
}

// currentSchema is this program's own. A new version adds its step here, and a book of the version before to testdata.
func currentSchema() schema { return schema{version: 1} }

// migrate brings an open book from a version to the schema's, in one transaction.
func (s schema) migrate(db *bbolt.DB, from head) (head, error) {
	to := from
	to.Version = s.version
	err := guarded(func() error {
		return db.Update(func(tx *bbolt.Tx) error {
			for v := from.Version; v < s.version; v++ {
				step := s.steps[v]
				if step == nil {
					return fmt.Errorf("no way is known from version %d of a book to %d", v, v+1)
				}
				if err := step(tx); err != nil {
					return fmt.Errorf("bringing the book from version %d to %d: %w", v, v+1, err)
				}
			}
			return putHead(tx, to)
		})
	})
	if err != nil {
		return from, err
	}
	return to, nil
}

// migrateInPlace brings the locked book at path up to date, after a copy of it was laid beside it.
func migrateInPlace(path string, db *bbolt.DB, from head, opts Options) (head, error) {
	copied, err := copyAside(path, from.Version, opts.Now())
	if err != nil {
		return from, fmt.Errorf("keeping a copy of the book before bringing it up to date: %w", err)
	}
	to, err := opts.schema.migrate(db, from)
	if err != nil {
		// The book is as it was, and each further try would leave one more copy.
		return from, also(err, os.Remove(copied))
	}
	return to, nil
}

// copyAside lays a copy of the book beside it before it is migrated, named after its version and the day, and
// returns the copy's path. The book must be locked.
func copyAside(path string, version int, now time.Time) (copied string, err error) {
	from, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer from.Close()
	to, err := createFree(fmt.Sprintf("%s.v%d-%s", path, version, now.Format("20060102")))
	if err != nil {
		return "", err
	}
	defer func() {
		err = also(err, to.Close())
		if err != nil {
			err = also(err, os.Remove(to.Name()))
		}
	}()
	if _, err := io.Copy(to, from); err != nil {
		return "", err
	}
	if err := to.Sync(); err != nil {
		return "", err
	}
	m, err := metasOf(to)
	if err == nil {
		_, err = sound(to, m)
	}
	if err != nil {
		return "", err
	}
	return to.Name(), syncFolder(filepath.Dir(path))
}

// createFree creates a file of that name, or with the first number behind it that is free.
func createFree(name string) (*os.File, error) {
	const most = 100
	for n := 1; ; n++ {
		numbered := name
		if n > 1 {
			numbered = fmt.Sprintf("%s-%d", name, n)
		}
		file, err := os.OpenFile(numbered, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
		if !errors.Is(err, fs.ErrExist) || n == most {
			return file, err
		}
	}
}
