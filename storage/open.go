package storage

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"go.etcd.io/bbolt"
)

// lockWait is how long each of the two steps of opening waits for a book that another process has: together well
// within the second after which the user wants to know.
const lockWait = 250 * time.Millisecond

// Open opens the book at path, or begins a new one where there is nothing. What it refuses it leaves untouched.
// The error is a *BusyError where another process has the book; it then may be opened read-only.
func Open(path string, opts Options) (*Book, error) {
	opts = opts.withDefaults()
	found, err := locate(path)
	if errors.Is(err, fs.ErrNotExist) && !opts.ReadOnly {
		if err := create(found, opts); err != nil {
			return nil, explain("beginning the book", path, err)
		}
		found, err = locate(path)
	}
	if err != nil {
		return nil, explain(opening, path, err)
	}
	if err := inspect(found, opts.openFile); err != nil {
		return nil, explain(opening, path, err)
	}
	var book *Book
	if opts.ReadOnly {
		book, err = openSnapshot(found, opts)
	} else {
		book, err = openHeld(found, opts)
	}
	if err != nil {
		return nil, explain(opening, path, err)
	}
	if book.walk != nil {
		book.walk.asked = path
	}
	return book, nil
}

// locate is the absolute path of the book's file itself, behind any links. Where there is nothing, it is where the
// file would be, and the error wraps fs.ErrNotExist.
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
		return abs, errors.New("it is a link to a file that is not there")
	}
	return abs, err
}

// inspect refuses what is surely no whole book, without writing to it, locking it or waiting for it.
func inspect(path string, open openFile) error {
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	if info.IsDir() {
		return fmt.Errorf("%w but a folder", ErrForeign)
	}
	if !info.Mode().IsRegular() {
		return fmt.Errorf("%w, nor an ordinary file", ErrForeign)
	}
	file, err := open(path, os.O_RDONLY, 0)
	if err != nil {
		return err
	}
	defer file.Close()
	_, err = readMetas(file, info.Size())
	return err
}

// openHeld opens a book for reading and writing, and holds it against others.
func openHeld(path string, opts Options) (*Book, error) {
	// A first look that does not write at all: bbolt opened for writing may, before a foreign or damaged file is known
	// as such.
	var before seen
	var err error
	if opts.Ahead {
		before, err = lookAhead(path, opts, lockWait)
	} else {
		var met tally
		if _, met, err = look(path, opts, lockWait); err == nil {
			// A book that is damaged anywhere is read at the most: what is written to it may spoil what could be saved.
			err = met.flaw
		}
	}
	if isLocked(err) {
		return nil, busy(path, opts)
	}
	if err != nil {
		return nil, err
	}
	db, file, err := openBolt(path, bbolt.Options{Timeout: lockWait, MaxSize: opts.maxSize}, opts.openFile)
	switch {
	case isLocked(err):
		return nil, busy(path, opts)
	case errors.Is(err, fs.ErrPermission) || errors.Is(err, errReadOnlyDisk()):
		return nil, fmt.Errorf("%w (%w)", ErrReadOnly, err)
	case err != nil:
		return nil, err
	}
	if !stillAt(path, file) {
		// It was laid aside for a copy while we waited for it: what were written to it would be lost.
		return nil, also(ErrRestless, db.Close())
	}
	release := hold(path, opts)
	// Another process may have been quicker to open and migrate it between the two looks.
	h, err := readHead(db, opts.schema.version)
	var ahead *walk
	var met *gathered
	if err == nil {
		ahead, met, err = goOn(before, file)
	}
	if err == nil && h.Version < opts.schema.version {
		h, err = migrateInPlace(path, db, h, opts)
	}
	if err != nil {
		release()
		return nil, closeAfter(err, db, file)
	}
	book := &Book{path: path, id: h.ID, db: db, file: file, release: release, discard: func() {}, walk: ahead}
	book.gathered.Store(met)
	if opts.Copies {
		book.rolling = newRolling(path, opts)
	}
	return book, nil
}

// stillAt says whether an open file is the one that has the name.
func stillAt(path string, file *os.File) bool {
	named, err := os.Stat(path)
	opened, errOpened := file.Stat()
	return err == nil && errOpened == nil && os.SameFile(named, opened)
}

// look walks all pages of a book and reads what it says of itself, under a lock that keeps writers out meanwhile.
func look(path string, opts Options, wait time.Duration) (head, tally, error) {
	db, file, err := openBolt(path, bbolt.Options{ReadOnly: true, Timeout: wait}, opts.openFile)
	if err != nil {
		return head{}, tally{}, err
	}
	m, err := metasOf(file)
	var met tally
	if err == nil {
		met, err = sound(file, m)
	}
	if err != nil {
		return head{}, tally{}, closeAfter(err, db, file)
	}
	h, err := readHead(db, opts.schema.version)
	return h, met, closeAfter(err, db, file)
}

// closeAfter closes a bbolt file after err, or after nothing went wrong, and returns what there is to say.
func closeAfter(err error, db *bbolt.DB, file *os.File) error {
	var caught *caughtPanic
	if errors.As(err, &caught) {
		return also(err, abandon(file))
	}
	return also(err, db.Close())
}

// openBolt opens a bbolt file that exists. After a panic in it, no lock stays behind.
func openBolt(path string, options bbolt.Options, open openFile) (db *bbolt.DB, file *os.File, err error) {
	options.OpenFile = func(name string, flag int, mode os.FileMode) (*os.File, error) {
		// A file that vanished after it was looked at must not come back empty.
		f, err := open(name, flag&^os.O_CREATE, mode)
		file = f
		return f, err
	}
	if options.PageSize == 0 {
		options.PageSize = pageSize
	}
	err = guarded(func() error {
		db, err = bbolt.Open(path, 0o600, &options)
		return err
	})
	var caught *caughtPanic
	if errors.As(err, &caught) && file != nil {
		return nil, nil, also(err, abandon(file))
	}
	return db, file, err
}
