package storage

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"go.etcd.io/bbolt"

	"bendbook/model/plain"
)

// Restored is a book that was put back from a copy.
type Restored struct {
	Path          string
	Bows, Entries int
	From          string // the copy
	Aside         string // where the book that was there lies now; "" where there was none
}

// Whole is true: a copy that is not whole is not put back.
func (r Restored) Whole() bool { return true }

// Lines say what was done.
func (r Restored) Lines() []string {
	lines := []string{shown(fmt.Sprintf("%s is the copy %s now: %s, %s", r.Path, r.From, plain.Plural(r.Bows, "%d bow", "%d bows", r.Bows), plain.Plural(r.Entries, "%d entry", "%d entries", r.Entries)))}
	if r.Aside != "" {
		lines = append(lines, shown(fmt.Sprintf("the book that was there lies at %s", r.Aside)))
	}
	return lines
}

// Restore puts a copy in the book's place: the file from, or the copy of a day (as in 2027-02-01) that was made by itself. The copy must
// be whole. The book that was there, in whatever state, is laid aside beside it, and there is a book at the path at every moment. A book
// that another process has is left alone.
func Restore(path, from string, opts Options) (Restored, error) {
	const doing = "restoring"
	opts = opts.withDefaults()
	found, err := locate(path)
	there := err == nil
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return Restored{}, explain(doing, path, err)
	}
	from, err = copyMeant(found, from)
	if err != nil {
		return Restored{}, explain(doing, path, err)
	}
	r := Restored{From: from}
	err = guarded(func() error { return r.restore(found, there, opts) })
	if err != nil {
		return Restored{}, explain(doing, path, err)
	}
	r.Path = path
	return r, nil
}

// copyMeant is the file that is called from: that file, or the copy of that day.
func copyMeant(book, from string) (string, error) {
	t, noDay := time.Parse(time.DateOnly, from)
	if noDay != nil {
		if sameFile(book, from) {
			return "", ErrItself
		}
		return from, nil
	}
	path := copyPath(copiesOf(book), day(t))
	if _, err := os.Stat(path); err != nil {
		return "", fmt.Errorf("there is no copy of %s: %w", from, err)
	}
	return path, nil
}

// restore makes a copy of the copy and puts it in place, while no other process has the book that is there.
func (r *Restored) restore(path string, there bool, opts Options) error {
	letGo := func() error { return nil }
	if there {
		// bbolt takes the lock before it looks at what is in the file. A damaged file is not held for long, but nobody
		// else can open one for writing.
		db, file, err := openBolt(path, bbolt.Options{ReadOnly: true, Timeout: lockWait}, opts.openFile)
		if isLocked(err) {
			return busy(path, opts)
		}
		if err == nil {
			letGo = func() error { return closeAfter(nil, db, file) }
		}
		if r.Aside, err = freeName(fmt.Sprintf("%s.aside-%s", path, opts.Now().Format("20060102"))); err != nil {
			return also(err, letGo())
		}
	}
	if !replacesOpenFiles {
		err := letGo()
		if err != nil {
			return err
		}
		return r.put(path, opts)
	}
	return also(r.put(path, opts), letGo())
}

// put lays the copy at path, where the book that was there goes aside.
func (r *Restored) put(path string, opts Options) (err error) {
	if err := inspect(r.From, opts.openFile); err != nil {
		return fmt.Errorf("the copy %s: %w", r.From, err)
	}
	if err := makeFolder(filepath.Dir(path)); err != nil {
		return err
	}
	draft, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".new-*") // created with mode 0600
	if err != nil {
		return err
	}
	named := false
	defer func() {
		if !named {
			err = also(err, os.Remove(draft.Name()))
		}
	}()
	_, err = copySteady(r.From, draft, opts.Now) // it may be a book that somebody has open
	if err = also(err, draft.Sync(), draft.Close()); err != nil {
		return err
	}
	met, err := readBack(draft.Name(), opts)
	if err != nil {
		return fmt.Errorf("the copy %s: %w", r.From, err)
	}
	r.Bows, r.Entries = met.bows, met.entries
	if r.Aside != "" {
		if err := layAside(path, r.Aside); err != nil {
			return err
		}
	}
	if err := os.Rename(draft.Name(), path); err != nil {
		return err
	}
	named = true
	return syncFolder(filepath.Dir(path))
}

// layAside gives a book another name, and where the file system can, leaves it the one that it has until the next takes its place.
func layAside(path, aside string) error {
	err := os.Link(path, aside)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	return os.Rename(path, aside)
}

// freeName is that name, or with the first number behind it that is free.
func freeName(name string) (string, error) {
	const most = 100
	for n := 1; n <= most; n++ {
		numbered := name
		if n > 1 {
			numbered = fmt.Sprintf("%s-%d", name, n)
		}
		if _, err := os.Lstat(numbered); errors.Is(err, fs.ErrNotExist) {
			return numbered, nil
		}
	}
	return "", fmt.Errorf("%s: %w", name, fs.ErrExist)
}
