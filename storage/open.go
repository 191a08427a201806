package storage

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// lockWait is how long each of the two steps of opening waits for a book that another process has.
const lockWait = 250 * time.Millisecond

// Open opens the book at path, or begins a new one where there is nothing. What it refuses it leaves
// untouched. The error is a *BusyError where another process has the book; it then may be opened read-only.
func Open(path string, opts Options) (b *Book, err error) {
	opts = opts.withDefaults()
	found, err := locate(path)
	if errors.Is(err, fs.ErrNotExist) && !opts.ReadOnly {
		if err := begin(found, opts); err != nil {
			return nil, explain("beginning the book", path, err)
		}
		found, err = locate(path)
	}
	switch {
	case err != nil:
	case opts.ReadOnly:
		b, err = openCopy(found, opts)
	default:
		b, err = openHeld(found, opts)
	}
	if err != nil {
		return nil, explain("opening", path, err)
	}
	return b, nil
}

// locate is the absolute path of the book's file itself, behind any links. Where there is nothing, it is
// where the file would be, and the error wraps fs.ErrNotExist.
func locate(path string) (string, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return path, err
	}
	found, err := filepath.EvalSymlinks(abs)
	if err == nil {
		return found, nil
	}
	if _, linkErr := os.Lstat(abs); linkErr == nil && errors.Is(err, fs.ErrNotExist) {
		// No book is begun behind a link that leads nowhere: its disk may just not be there.
		return abs, errors.New("it is a link to a file that isn't there")
	}
	return abs, err
}

// inspect refuses what is surely no book, without writing to it, locking it or waiting for it.
func inspect(path string, opts Options) error {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return err
	case info.IsDir():
		return fmt.Errorf("%w but a folder", ErrForeign)
	case !info.Mode().IsRegular():
		return fmt.Errorf("%w, nor an ordinary file", ErrForeign)
	case info.Size() == 0:
		return ErrEmpty
	}
	file, err := opts.openFile(path, os.O_RDONLY, 0)
	if err != nil {
		return err
	}
	defer file.Close()
	start, _, err := startOf(file)
	// What bbolt marks its files with, or a start that was wiped.
	if err == nil && !bytes.Contains(start, []byte("\xed\xda\x0c\xed")) && len(bytes.TrimLeft(start, "\x00")) > 0 {
		err = ErrForeign
	}
	return err
}

// openHeld opens a book for reading and writing, and holds it against others.
func openHeld(path string, opts Options) (b *Book, err error) {
	// A first look that doesn't write: bbolt opened for writing may, before a file is known as foreign or
	// damaged.
	start, _, err := look(path, opts)
	if isLocked(err) {
		return nil, busy(path)
	} else if err != nil {
		return nil, err
	}
	db, file, err := openBolt(path, bbolt.Options{MaxSize: opts.maxSize}, opts)
	switch {
	case isLocked(err):
		return nil, busy(path)
	case errors.Is(err, errReadOnlyDisk()):
		return nil, fmt.Errorf("%w: its disk is read-only (%w)", ErrReadOnly, err)
	case errors.Is(err, fs.ErrPermission):
		return nil, fmt.Errorf("%w (%w)", ErrReadOnly, err)
	case err != nil:
		return nil, err
	}
	b = &Book{path: path, opts: opts, db: db, file: file, journal: &journal{path: journalPath(path)}}
	b.start, b.size, err = startOf(file)
	if err == nil && (!bytes.Equal(b.start, start) || !stillAt(path, file)) {
		err = ErrRestless // another process was there between the two steps
	}
	if err != nil {
		return nil, also(err, db.Close())
	}
	b.cleanUp = hold(path, opts)
	if err := guarded(b.reconcile); err != nil {
		b.cleanUp()
		return nil, also(err, b.journal.close(), closeAfter(err, db, file))
	}
	if opts.Copies {
		b.copies = &copies{folder: copiesOf(path)}
	}
	return b, nil
}

// stillAt says whether an open file is the one that has the name.
func stillAt(path string, file *os.File) bool {
	named, err := os.Stat(path)
	opened, errOpened := file.Stat()
	return err == nil && errOpened == nil && os.SameFile(named, opened)
}

// look reads all of a book under a lock that keeps writers out meanwhile. The error is for one that isn't
// whole.
func look(path string, opts Options) (start []byte, t tally, err error) {
	if err := inspect(path, opts); err != nil {
		return nil, t, err
	}
	db, file, err := openBolt(path, bbolt.Options{ReadOnly: true, PreLoadFreelist: true}, opts)
	if err != nil {
		return nil, t, err
	}
	err = guarded(func() error {
		if start, _, err = startOf(file); err != nil {
			return err
		}
		return db.View(func(tx *bbolt.Tx) error { return t.verify(tx, file) })
	})
	return start, t, also(err, closeAfter(err, db, file))
}

// openBolt opens a bbolt file that exists. After a panic in it, no lock stays behind.
func openBolt(path string, how bbolt.Options, opts Options) (db *bbolt.DB, file *os.File, err error) {
	how.OpenFile = func(name string, flag int, mode os.FileMode) (*os.File, error) {
		// A file that vanished after it was looked at must not come back empty.
		f, err := opts.openFile(name, flag&^os.O_CREATE, mode)
		file = f
		return f, err
	}
	how.PageSize = pageSize
	if how.Timeout == 0 {
		how.Timeout = lockWait
	}
	err = guarded(func() error {
		db, err = bbolt.Open(path, 0o600, &how)
		return err
	})
	switch {
	case errors.Is(err, errPanic) && file != nil:
		err = also(err, abandon(file))
	case errors.Is(err, berrors.ErrInvalid), errors.Is(err, berrors.ErrChecksum),
		errors.Is(err, berrors.ErrVersionMismatch):
		err = fmt.Errorf("%w: its first pages (%w)", ErrDamaged, err)
	}
	return db, file, err
}
