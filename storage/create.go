package storage

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/oklog/ulid/v2"
	"go.etcd.io/bbolt"
)

// pageSize of a new book: the same on every machine.
const pageSize = 4096

// create lays a new, empty book at path. A book that another process made meanwhile is left as it is.
func create(path string, opts Options) error {
	err := layBook(path, func(draft string) error { return prepare(draft, opts) })
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	return err
}

// layBook lays a book at path, where there must be nothing. write makes it whole under another name first, so that path
// never shows a half of it, whatever happens. The error wraps fs.ErrExist where there is something by then.
func layBook(path string, write func(draft string) error) (err error) {
	folder := filepath.Dir(path)
	if err := makeFolder(folder); err != nil {
		return err
	}
	draft, err := os.CreateTemp(folder, "."+filepath.Base(path)+".new-*") // created with mode 0600
	if err != nil {
		return err
	}
	defer func() { err = also(err, os.Remove(draft.Name())) }()
	if err := draft.Close(); err != nil {
		return err
	}
	if err := write(draft.Name()); err != nil {
		return err
	}
	if err := layAt(draft.Name(), path); !errors.Is(err, fs.ErrExist) {
		return err
	}
	return fmt.Errorf("%s: %w", path, fs.ErrExist)
}

// layAt gives a whole, synced file the name path too. The error wraps fs.ErrExist where there is something of that
// name, which stays as it is.
func layAt(draft, path string) error {
	err := os.Link(draft, path)
	if err != nil && !errors.Is(err, fs.ErrExist) {
		err = copyInto(draft, path)
	}
	if err != nil {
		return err
	}
	return syncFolder(filepath.Dir(path))
}

// makeFolder makes a folder for its owner alone, and those above it that are not there, so that they outlast a loss
// of power.
func makeFolder(path string) error {
	var grown []string // folders in which a new one appears
	for at := path; ; at = filepath.Dir(at) {
		if _, err := os.Lstat(at); err == nil || at == filepath.Dir(at) {
			break
		}
		grown = append(grown, filepath.Dir(at))
	}
	if err := os.MkdirAll(path, 0o700); err != nil {
		return err
	}
	for _, folder := range grown {
		if err := syncFolder(folder); err != nil {
			return err
		}
	}
	return nil
}

// copyInto is for file systems without hard links, as on memory sticks.
func copyInto(draft, path string) error {
	whole, err := os.Open(draft)
	if err != nil {
		return err
	}
	defer whole.Close()
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(file, whole)
	if err = also(err, file.Sync(), file.Close()); err != nil {
		return also(err, os.Remove(path))
	}
	return nil
}

// prepare makes an empty file an empty book.
func prepare(path string, opts Options) error {
	id, err := ulid.New(ulid.Timestamp(opts.Now()), rand.Reader)
	if err != nil {
		return fmt.Errorf("making the book's id: %w", err)
	}
	db, _, err := openBolt(path, bbolt.Options{PageSize: pageSize, MaxSize: opts.maxSize}, opts.openFile)
	if err != nil {
		return err
	}
	err = guarded(func() error {
		return db.Update(func(tx *bbolt.Tx) error {
			for _, name := range firstParts() {
				if _, err := tx.CreateBucket([]byte(name)); err != nil {
					return err
				}
			}
			return putHead(tx, head{Format: bookFormat, Version: opts.schema.version, ID: id.String()})
		})
	})
	return also(err, db.Close())
}
