package storage

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Report tells what was found or done, for a reader.
type Report struct {
	lines []string
	bad   bool
}

// Lines are the report, a thing a line.
func (r Report) Lines() []string { return r.lines }

// Whole says whether nothing is wrong or missing.
func (r Report) Whole() bool { return !r.bad }

func (r *Report) say(format string, args ...any) {
	r.lines = append(r.lines, fmt.Sprintf(format, args...))
}

// onFile does something with a book's file, and makes an error one that names it. Where there is no file,
// found is where it would be.
func onFile(doing, path string, opts Options, do func(*Report, string, Options) error) (r Report, err error) {
	found, err := locate(path)
	if err == nil || errors.Is(err, fs.ErrNotExist) {
		opts.Copies = false
		if opts.Now == nil {
			opts.Now = time.Now
		}
		err = do(&r, found, opts)
	}
	if err != nil {
		return Report{}, explain(doing, path, err)
	}
	return r, nil
}

// Backup lays a copy of the book as it stands now at the path to, also while another process has it. A
// folder gets a file named after the book and the day. A file that is there is replaced only with over, and
// never if it is the book itself. The copy was read back whole when it gets its name; where that fails,
// what was there is as it was.
func Backup(path, to string, over bool, opts Options) (Report, error) {
	return onFile("copying", path, opts, func(r *Report, found string, opts Options) error {
		if info, err := os.Stat(to); err == nil && info.IsDir() {
			name := filepath.Base(found)
			ending := filepath.Ext(name)
			to = filepath.Join(to, strings.TrimSuffix(name, ending)+"-"+opts.Now().Format(time.DateOnly)+ending)
		}
		asOf := opts.Now().Format("2006-01-02 15:04")
		meant, err := target(found, to, over)
		if err != nil {
			return explain("copying "+path+" to", to, err)
		}
		return newFile(meant, over, func(draft *os.File) error {
			t, err := copyInto(draft, found)
			r.say("%s: %s, as of %s; read back whole", to, t, asOf)
			return err
		})
	})
}

// copyInto copies a book and reads the copy back.
func copyInto(draft *os.File, path string) (t tally, err error) {
	if _, err = copySteady(path, draft); err != nil {
		return t, err
	}
	return readBack(draft.Name())
}

// readBack reads all of a copy that nobody else has. The error wraps ErrUnsound where it is not whole.
func readBack(path string) (tally, error) {
	t, err := look(path)
	if errors.Is(err, ErrDamaged) {
		err = fmt.Errorf("%w: %w", ErrUnsound, err)
	}
	return t, err
}

// target is the file that is meant by to, if it may be written.
func target(path, to string, over bool) (string, error) {
	meant, err := locate(to)
	if errors.Is(err, fs.ErrNotExist) {
		return meant, nil
	} else if err != nil {
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
