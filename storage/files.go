package storage

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// newFile makes a file whole under another name first, with mode 0600, so path never shows a half of it.
// over says whether a file that is there is replaced; otherwise the error wraps fs.ErrExist.
func newFile(path string, over bool, write func(draft *os.File) error) error {
	folder := filepath.Dir(path)
	if _, err := os.Stat(folder); errors.Is(err, fs.ErrNotExist) {
		if err := errors.Join(os.MkdirAll(folder, 0o700), syncFolder(filepath.Dir(folder))); err != nil {
			return err
		}
	}
	draft, err := os.CreateTemp(folder, "."+filepath.Base(path)+".new-*")
	if err != nil {
		return err
	}
	err = write(draft)
	err = errors.Join(err, draft.Sync(), draft.Close())
	if err == nil && over {
		err = os.Rename(draft.Name(), path)
	} else if err == nil {
		err = layAside(draft.Name(), path)
	}
	if err == nil {
		err = syncFolder(folder)
	}
	if removed := os.Remove(draft.Name()); !errors.Is(removed, fs.ErrNotExist) {
		err = errors.Join(err, removed)
	}
	return err
}

// layAside gives a file another name; where the file system can, it keeps the one that it has until
// something takes its place. The error wraps fs.ErrExist where the name is taken.
func layAside(path, aside string) error {
	err := os.Link(path, aside)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	if _, err := os.Lstat(aside); err == nil {
		return fmt.Errorf("%s: %w", aside, fs.ErrExist)
	}
	return os.Rename(path, aside)
}

// freeName is that name, or with the first number behind it that is free.
func freeName(name string) string {
	numbered := name
	for n := 2; ; n++ {
		if _, err := os.Lstat(numbered); err != nil {
			return numbered
		}
		numbered = fmt.Sprintf("%s-%d", name, n)
	}
}

// sameFile says whether two paths lead to one file.
func sameFile(a, b string) bool {
	first, err := os.Stat(a)
	second, wrong := os.Stat(b)
	return err == nil && wrong == nil && os.SameFile(first, second)
}

// inPlace refuses where the file at the book's path is no longer the one that is open, or was written by
// somebody else: what is written then would be lost, or spoil what is there.
func (b *Book) inPlace() error {
	held, err := b.file.Stat()
	if err != nil {
		return err
	}
	found, err := os.Stat(b.path)
	switch {
	case err == nil && !os.SameFile(held, found):
		return errReplaced
	case errors.Is(err, fs.ErrNotExist) && hasName(held):
		return errMoved
	case errors.Is(err, fs.ErrNotExist):
		if !b.journal.inPlace() { // it was removed too
			if err := b.renewJournal(""); err != nil {
				return fmt.Errorf("%w, nor can its journal be written: %w", errMoved, err)
			}
		}
		return errGone
	}
	start, err := startOf(b.file)
	if err == nil && start != b.start {
		err = errOverwritten
		b.broken.Store(&err)
	}
	return err
}
