package storage

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"go.etcd.io/bbolt"

	"bendbook/model/plain"
)

// How often a copy is tried while another process writes, and for how long at the most.
const (
	copyTries = 200
	copyWait  = 700 * time.Millisecond
)

// openCopy opens a private copy of the book as it stands now.
func openCopy(path string, opts Options) (b *Book, err error) {
	if err := inspect(path, opts); err != nil {
		return nil, err
	}
	why := whyReadOnly(path, opts)
	to, start, err := privateCopy(path, opts)
	if err != nil {
		return nil, err
	}
	remove := func() { _ = os.Remove(to) }
	own := Options{}.withDefaults()
	_, t, flaw := look(to, own)
	if flaw != nil && (t.bows == 0 || !errors.Is(flaw, ErrDamaged)) {
		remove()
		return nil, flaw
	} else if flaw != nil {
		why += "; part of it is damaged: see bendbook check"
	}
	b = &Book{path: path, opts: opts, start: start, cleanUp: remove}
	b.db, b.file, err = openBolt(to, bbolt.Options{ReadOnly: true}, own)
	remove() // the open file is enough, except on Windows
	if err != nil {
		return nil, err
	}
	b.readOnly = fmt.Sprintf("%s; shown as of %s", why, opts.Now().Format("15:04"))
	return b, nil
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
	file, err := b.opts.openFile(b.path, os.O_RDONLY, 0)
	if err != nil {
		return false, err
	}
	start, _, err := startOf(file)
	if err = also(err, file.Close()); err != nil || bytes.Equal(start, b.start) {
		return false, err
	}
	fresh, err := openCopy(b.path, b.opts)
	if err != nil {
		return false, err
	}
	if broken := b.broken.Swap(nil); broken != nil {
		err = *broken
	}
	err = closeAfter(err, b.db, b.file)
	b.cleanUp()
	b.db, b.file, b.start, b.readOnly, b.cleanUp = fresh.db, fresh.file, fresh.start, fresh.readOnly, fresh.cleanUp
	return true, err
}

// whyReadOnly finds out who or what keeps the book from being written.
func whyReadOnly(path string, opts Options) string {
	if errors.Is(notHeld(path, opts), ErrBusy) {
		return heldBy(path)
	}
	name := plain.Line(filepath.Base(path))
	file, err := opts.openFile(path, os.O_RDWR, 0)
	switch {
	case errors.Is(err, errReadOnlyDisk()):
		return name + " is on a read-only disk"
	case err != nil:
		return name + " is write-protected"
	}
	_ = file.Close() // nothing was written
	return name + " was opened for reading only"
}

// privateCopy copies the book to a file readable by its owner alone: beside the book, so no one's names
// come to lie elsewhere, or in the system's own folder where there is no room or no right to write.
func privateCopy(path string, opts Options) (name string, start []byte, err error) {
	for _, folder := range []string{filepath.Dir(path), os.TempDir()} {
		var to *os.File
		if to, err = os.CreateTemp(folder, "."+filepath.Base(path)+".view-*"); err != nil {
			continue
		}
		start, err = copySteady(path, to, opts)
		if err = also(err, to.Close()); err == nil {
			return to.Name(), start, nil
		}
		_ = os.Remove(to.Name())
	}
	return "", nil, err
}

// copySteady copies the book as one transaction left it, while another process may go on writing.
//
// bbolt ends a transaction by writing one of the first two pages, and what transaction n reaches is written
// over by n+2 at the earliest, after n+1 ended. So as long as these pages are the same before and after,
// nothing that they reach has changed.
func copySteady(path string, to *os.File, opts Options) (start []byte, err error) {
	from, err := opts.openFile(path, os.O_RDONLY, 0)
	if err != nil {
		return nil, err
	}
	defer from.Close()
	begun := time.Now()
	for range copyTries {
		start, steady, err := copyOnce(from, to)
		if err != nil || steady {
			return start, err
		}
		if time.Since(begun) > copyWait {
			break
		}
	}
	return nil, ErrRestless
}

// copyOnce copies the book and says whether its first pages stood still meanwhile.
func copyOnce(from, to *os.File) (start []byte, steady bool, err error) {
	start, size, err := startOf(from)
	if err == nil {
		_, err = io.Copy(io.NewOffsetWriter(to, 0), io.NewSectionReader(from, 0, size))
	}
	if err == nil {
		err = to.Truncate(size)
	}
	if err == nil { // a page may have been caught half-written that neither reading sees
		_, err = to.WriteAt(start, 0)
	}
	after, _, readErr := startOf(from)
	return start, bytes.Equal(start, after), also(err, readErr)
}
