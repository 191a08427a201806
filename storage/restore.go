package storage

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"
)

// Restore puts a copy in the book's place: the file from, or the copy of a day (as in 2027-02-01). The copy
// must be whole. The book that was there, in whatever state, is laid aside. What was saved since the copy
// was made comes back from the journal; asItWas leaves it out, and lays the journal aside too. A book that
// another process has is left alone.
func Restore(path, from string, asItWas bool, opts Options) (Report, error) {
	return onFile("restoring", path, opts, func(r *Report, found string, opts Options) error {
		return r.restore(found, path, from, asItWas, opts)
	})
}

func (r *Report) restore(path, name, from string, asItWas bool, opts Options) error {
	file, err := copyMeant(path, from)
	if err == nil {
		err = notHeld(path)
	}
	if err != nil {
		return err
	}
	aside, err := freeName(path + ".aside-" + opts.Now().Format(time.DateOnly))
	if err != nil {
		return err
	}
	var t tally
	err = newFile(path, true, func(draft *os.File) (err error) {
		if t, err = copyInto(draft, file); err != nil {
			return err
		}
		if asItWas { // first, since whoever opens the book must not find the lines that are left out
			err = os.Rename(journalPath(path), journalPath(aside))
		}
		if err == nil || errors.Is(err, fs.ErrNotExist) {
			err = layAside(path, aside)
		}
		if errors.Is(err, fs.ErrNotExist) {
			aside, err = "", nil
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("the copy %s: %w", from, err)
	}
	book, err := Open(path, opts)
	if err != nil {
		return err
	}
	r.say("%s is the copy %s now: %s", name, from, t)
	if book.notice != "" && !asItWas { // as in "2 entries came back from the journal."
		r.say("%s", book.notice)
	}
	if aside != "" {
		r.say("the book that was there is %s", aside)
	}
	return book.Close()
}

// copyMeant is the file that is called from: that file, or the copy of that day.
func copyMeant(book, from string) (string, error) {
	if _, noDay := time.Parse(time.DateOnly, from); noDay != nil {
		if sameFile(book, from) {
			return "", ErrItself
		}
		return from, nil
	}
	path := copyPath(copiesOf(book), from)
	if _, err := os.Stat(path); err != nil {
		return "", fmt.Errorf("there is no copy of %s: %w", from, err)
	}
	return path, nil
}
