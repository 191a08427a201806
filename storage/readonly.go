package storage

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"time"

	"go.etcd.io/bbolt"
)

// copyWait is how long a copy is tried while another process writes.
const copyWait = 700 * time.Millisecond

// openCopy opens a private copy of the book as it stands now.
func openCopy(path string, opts Options) (*Book, error) {
	to, start, err := privateCopy(path)
	if err != nil {
		return nil, err
	}
	b := &Book{path: path, opts: opts, start: start, shown: to}
	defer func() { _ = os.Remove(to) }() // the open file is enough, except on Windows
	if _, err := look(to); err != nil {
		return nil, err
	}
	b.readOnly = "shown as of " + opts.now().Format("15:04")
	b.db, b.file, err = openBolt(to, bbolt.Options{ReadOnly: true})
	return b, err
}

// Refresh brings a read-only book up to what its holder has written since; changed says whether anything
// came. A book open for writing never changes by itself.
func (b *Book) Refresh() (changed bool, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	defer func() { err = explain("reading", b.path, err) }()
	if b.readOnly == "" || b.closed {
		return false, nil
	}
	file, err := os.Open(b.path)
	if err != nil {
		return false, err
	}
	start, err := startOf(file)
	if err = errors.Join(err, file.Close()); err != nil || start == b.start {
		return false, err
	}
	fresh, err := openCopy(b.path, b.opts)
	if err != nil {
		return false, err
	}
	err = shut(b.broken.Swap(nil) != nil, b.db, b.file)
	_ = os.Remove(b.shown)
	b.db, b.file, b.start = fresh.db, fresh.file, fresh.start
	b.readOnly, b.shown = fresh.readOnly, fresh.shown
	return true, err
}

// notHeld refuses a book that another process has, whatever else is wrong with it.
func notHeld(path string) error {
	// bbolt takes the lock before it looks at what is in the file.
	db, _, err := openBolt(path, bbolt.Options{ReadOnly: true, Timeout: 1}) // tries once
	switch {
	case err == nil:
		return db.Close()
	case errors.Is(err, ErrBusy):
		return err
	}
	return nil
}

// privateCopy copies the book to a file that its owner alone can read.
func privateCopy(path string) (name string, start opening, err error) {
	to, err := os.CreateTemp("", "."+filepath.Base(path)+".view-*")
	if err != nil {
		return "", start, err
	}
	start, err = copySteady(path, to)
	if err = errors.Join(err, to.Close()); err != nil {
		_ = os.Remove(to.Name())
	}
	return to.Name(), start, err
}

// copySteady copies the book as one transaction left it, while another process may go on writing.
//
// bbolt ends a transaction by writing one of the first two pages, and what transaction n reaches is written
// over by n+2 at the earliest, after n+1 ended. So as long as these pages are the same before and after,
// nothing that they reach has changed.
func copySteady(path string, to *os.File) (start opening, err error) {
	from, err := inspect(path)
	if err != nil {
		return start, err
	}
	defer from.Close()
	for begun := time.Now(); time.Since(begun) < copyWait; {
		if start, err = startOf(from); err != nil {
			return start, err
		}
		_, err = io.Copy(io.NewOffsetWriter(to, 0), io.NewSectionReader(from, 0, start.size))
		if err == nil {
			err = to.Truncate(start.size)
		}
		if err == nil { // a page may have been caught half-written that neither reading sees
			_, err = to.WriteAt([]byte(start.pages), 0)
		}
		after, unread := startOf(from)
		if err = errors.Join(err, unread); err != nil || after.pages == start.pages {
			return start, err
		}
	}
	return start, errRestless
}
