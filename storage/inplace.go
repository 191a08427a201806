package storage

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"go.etcd.io/bbolt"
)

// where is what stands at an open book's path.
type where int

const (
	there    where = iota // the book, as far as can be told
	missing               // nothing
	replaced              // another file
)

// place says what stands at the book's path, and whether the open file has a name anywhere.
func (b *Book) place() (at where, named bool) {
	held, err := b.file.Stat()
	if err != nil {
		return there, true // the next write tells what is wrong
	}
	found, err := os.Stat(b.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return missing, hasName(held)
	case err == nil && !os.SameFile(held, found):
		return replaced, hasName(held)
	}
	return there, true
}

// inPlace refuses where the file at the book's path is no longer the one that is open: what is written into a file that was
// removed, or that another has taken the place of, would be gone when the program ends. Before it says so, it lays what
// a file without any name holds where it can be found.
func (b *Book) inPlace(doing string) error {
	at, named := b.place()
	if at == there {
		return nil
	}
	what, do := "nothing is there now", "put it back"
	if at == replaced {
		what, do = "another file is there now", "put this one back"
	}
	e := &Error{Doing: doing, Path: b.path, Err: fmt.Errorf("%w: %s", ErrMoved, what), Do: fmt.Sprintf("%s, then save again", do)}
	if named {
		return e
	}
	b.keeping.Lock()
	defer b.keeping.Unlock()
	if b.kept == "" {
		kept, err := b.keepAside()
		if err != nil {
			e.Err = fmt.Errorf("%w; what was in it cannot be kept: %w", e.Err, err)
			e.Do = "make room and save again before you leave"
			return e
		}
		b.kept = kept
	}
	e.Do = fmt.Sprintf("what was in it is kept as %s: leave, put that in its place, and start again", b.kept)
	return e
}

// keepAside lays all that the open file holds into a new one beside the book's place, or among the system's temporary
// files where that folder is gone or takes nothing, and returns where it is.
func (b *Book) keepAside() (path string, err error) {
	for _, folder := range []string{filepath.Dir(b.path), os.TempDir()} {
		var to *os.File
		if to, err = createFree(filepath.Join(folder, filepath.Base(b.path)+".kept")); err != nil {
			continue
		}
		err = b.db.View(func(tx *bbolt.Tx) error {
			_, err := tx.WriteTo(to)
			return err
		})
		if err = also(err, to.Sync(), to.Close()); err == nil {
			return to.Name(), syncFolder(folder)
		}
		err = also(err, os.Remove(to.Name()))
	}
	return "", err
}
