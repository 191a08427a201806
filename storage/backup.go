package storage

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"bendbook/model/plain"
)

// Copied is a copy of a book that was read back whole.
type Copied struct {
	Path          string
	Bows, Entries int
	AsOf          time.Time // the moment whose state of the book it is
}

// Whole is true: a copy that is not whole is none.
func (c Copied) Whole() bool { return true }

// Lines say where the copy is and what is in it.
func (c Copied) Lines() []string {
	return []string{shown(fmt.Sprintf("%s: %s, %s, as of %s; read back whole",
		c.Path, plain.Plural(c.Bows, "%d bow", "%d bows", c.Bows), plain.Plural(c.Entries, "%d entry", "%d entries", c.Entries), c.AsOf.Format("2006-01-02 15:04")))}
}

// Backup lays a copy of the book as it stands now at the path to: also while another process has it, and writes to it. A folder
// gets a file named after the book and the day. Where there is a file already, it is replaced only with over, and never if it is the book
// itself; behind a link is the file that is meant. The copy was read back whole when it gets its name; where that fails, what was
// there is as it was.
func Backup(path, to string, over bool, opts Options) (Copied, error) {
	opts = opts.withDefaults()
	found, err := locate(path)
	if err != nil {
		return Copied{}, explain("copying", path, err)
	}
	var copied Copied
	if info, statErr := os.Stat(to); statErr == nil && info.IsDir() {
		name := filepath.Base(found)
		ending := filepath.Ext(name)
		to = filepath.Join(to, strings.TrimSuffix(name, ending)+"-"+opts.Now().Format(time.DateOnly)+ending)
	}
	err = guarded(func() (err error) {
		copied, err = copyTo(found, to, over, opts)
		return err
	})
	copied.Path = to
	if err != nil {
		return Copied{}, explain(fmt.Sprintf("copying %s to", path), to, err)
	}
	return copied, nil
}

// copyTo makes a copy beside its place, reads it back and gives it its name.
func copyTo(path, to string, over bool, opts Options) (copied Copied, err error) {
	to, err = target(path, to, over)
	if err != nil {
		return Copied{}, err
	}
	if err := inspect(path, opts.openFile); err != nil {
		return Copied{}, err
	}
	draft, err := os.CreateTemp(filepath.Dir(to), "."+filepath.Base(to)+".new-*") // created with mode 0600
	if err != nil {
		return Copied{}, err
	}
	named := false
	defer func() {
		if !named {
			err = also(err, os.Remove(draft.Name()))
		}
	}()
	asOf, err := copySteady(path, draft, opts.Now)
	if err = also(err, draft.Sync(), draft.Close()); err != nil {
		return Copied{}, err
	}
	met, err := readBack(draft.Name(), opts)
	if err != nil {
		return Copied{}, err
	}
	if over {
		if err := os.Rename(draft.Name(), to); err != nil {
			return Copied{}, err
		}
		named = true
		err = syncFolder(filepath.Dir(to))
	} else {
		err = layAt(draft.Name(), to)
	}
	return Copied{to, met.bows, met.entries, asOf}, err
}

// readBack reads a copy that nobody else has, page by page and value by value. The error wraps ErrUnsound where it is not whole.
func readBack(path string, opts Options) (tally, error) {
	opts.openFile = os.OpenFile
	if err := inspect(path, opts.openFile); err != nil {
		return tally{}, err
	}
	_, met, err := look(path, opts, lockWait)
	if err == nil {
		err = met.flaw
	}
	if errors.Is(err, ErrDamaged) {
		err = fmt.Errorf("%w: %w", ErrUnsound, err)
	}
	return met, err
}

// target is the file that is meant by to, if it may be written.
func target(path, to string, over bool) (string, error) {
	abs, err := filepath.Abs(to)
	if err != nil {
		return "", err
	}
	_, err = os.Lstat(abs)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return abs, nil
	case err != nil:
		return "", err
	}
	meant, err := locate(to)
	if err != nil {
		return "", err
	}
	if sameFile(path, meant) {
		return "", ErrItself
	}
	if !over {
		return "", fs.ErrExist
	}
	info, err := os.Stat(meant)
	if err == nil && !info.Mode().IsRegular() {
		err = errors.New("it is no ordinary file")
	}
	return meant, err
}

// sameFile says whether two paths lead to one file.
func sameFile(a, b string) bool {
	first, errA := os.Stat(a)
	second, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(first, second)
}
