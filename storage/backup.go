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

// onFile does something with a book's file, there or not, and makes an error one that names it.
func onFile(doing, path string, do func(r *Report, found string) error) (r Report, err error) {
	found, err := locate(path)
	if err == nil || errors.Is(err, fs.ErrNotExist) {
		err = do(&r, found)
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
	return onFile("copying", path, func(r *Report, found string) error {
		if info, err := os.Stat(to); err == nil && info.IsDir() {
			name := filepath.Base(found)
			ending := filepath.Ext(name)
			to = filepath.Join(to, strings.TrimSuffix(name, ending)+"-"+opts.now().Format(time.DateOnly)+ending)
		}
		meant, err := locate(to)
		info, missing := os.Stat(meant)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			err = nil
		case err != nil:
		case sameFile(found, meant):
			err = errItself
		case !over:
			err = fs.ErrExist
		case missing == nil && !info.Mode().IsRegular():
			err = errors.New("it is no ordinary file")
		}
		if err != nil {
			return explain("copying "+path+" to", to, err)
		}
		asOf := opts.now().Format("2006-01-02 15:04")
		return newFile(meant, over, func(draft *os.File) error {
			t, err := copyInto(draft, found)
			var came tally
			if err == nil && !errors.Is(notHeld(found), ErrBusy) {
				came, err = addFromJournal(draft.Name(), journalPath(found), t.head)
			}
			if err == nil && came.lines() > 0 {
				t, err = readBack(draft.Name())
			}
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

// readBack reads all of a copy that nobody else has. The error wraps errUnsound where it is not whole.
func readBack(path string) (tally, error) {
	t, err := look(path)
	if errors.Is(err, errDamaged) {
		err = fmt.Errorf("%w: %w", errUnsound, err)
	}
	return t, err
}

// Restore puts a copy in the book's place: the file from, or the copy of a day (as in 2027-02-01). The copy
// must be whole. The book that was there, in whatever state, is laid aside. What was saved since the copy
// was made comes back from the journal; asItWas leaves it out, and lays the journal aside too. A book that
// another process has is left alone.
func Restore(name, from string, asItWas bool, opts Options) (Report, error) {
	return onFile("restoring", name, func(r *Report, path string) error {
		file, err := copyMeant(path, from)
		if err == nil {
			err = notHeld(path)
		}
		if err != nil {
			return err
		}
		aside := freeName(path + ".aside-" + opts.now().Format(time.DateOnly))
		err = newFile(path, true, func(draft *os.File) error {
			t, err := copyInto(draft, file)
			if err != nil {
				return err
			}
			if asItWas { // first, since whoever opens the book must not find what is left out
				err = os.Rename(journalPath(path), journalPath(aside))
			}
			if err == nil || errors.Is(err, fs.ErrNotExist) {
				err = layAside(path, aside)
			}
			if errors.Is(err, fs.ErrNotExist) {
				aside, err = "", nil
			}
			r.say("%s is the copy %s now: %s", name, from, t)
			return err
		})
		if err != nil {
			return fmt.Errorf("the copy %s: %w", from, err)
		}
		book, err := Open(path, opts)
		if err != nil {
			return err
		}
		if book.notice != "" && !asItWas { // as in "2 entries came back from the journal."
			r.say("%s", book.notice)
		}
		if aside != "" {
			r.say("the book that was there is %s", aside)
		}
		return book.Close()
	})
}

// copyMeant is the file that is called from: that file, or the copy of that day.
func copyMeant(book, from string) (string, error) {
	if _, noDay := time.Parse(time.DateOnly, from); noDay != nil {
		if sameFile(book, from) {
			return "", errItself
		}
		return from, nil
	}
	path := copyPath(copiesOf(book), from)
	if _, err := os.Stat(path); err != nil {
		return "", fmt.Errorf("there is no copy of %s: %w", from, err)
	}
	return path, nil
}
