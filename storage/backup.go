package storage

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"bendbook/model/plain"
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
		if sameFile(found, meant) {
			err = errItself
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return explain("copying "+path+" to", to, err)
		}
		asOf := opts.now().Format("2006-01-02 15:04")
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
	return look(draft.Name())
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

// Copies of a book lie in a folder beside it, named after their days. Kept are the newest so many, and the
// last one of each year.
const (
	copyEnding = ".book"
	newestKept = 20
)

func copiesOf(path string) string { return path + ".copies" }

func copyPath(folder, day string) string { return filepath.Join(folder, day+copyEnding) }

// superseded lists the days, given newest first, whose copies need not be kept. It asks no clock what day
// it is: one that is wrong would have good copies removed. Each new copy removes one at most.
func superseded(days []string) (drop []string) {
	year := ""
	for i, day := range days {
		if i >= newestKept && day[:4] == year {
			drop = append(drop, day)
		}
		year = day[:4]
	}
	return drop
}

// copyDays are the days of the copies in a folder, the newest first. It passes over other files.
func copyDays(folder string) (days []string, err error) {
	files, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	for _, file := range files {
		day, ours := strings.CutSuffix(file.Name(), copyEnding)
		if _, err := time.Parse(time.DateOnly, day); ours && err == nil && file.Type().IsRegular() {
			days = append(days, day)
		}
	}
	slices.Reverse(days) // they are in order of their names
	return days, err
}

// Copies looks at each copy of the book at path and reads it whole. The book itself need not be there.
func Copies(path string) (Report, error) {
	return onFile("listing the copies of", path, func(r *Report, found string) error {
		days, err := copyDays(copiesOf(found))
		if err == nil && len(days) == 0 {
			r.say("there are no copies of %s yet", path)
			return nil
		}
		for _, day := range days {
			if t, err := look(copyPath(copiesOf(found), day)); err == nil {
				r.say("%s  %s, whole", day, t)
			} else {
				r.bad = true
				r.say("%s  not whole: %s", day, plain.Line(err.Error()))
			}
		}
		r.say("they are in %s", copiesOf(found))
		return err
	})
}

// copies are the daily copies that an open book makes: on closing it, if it was changed and the day has none
// yet; and on the first change of a later day. That one is made again on closing.
type copies struct {
	beside  sync.WaitGroup
	changes string // the day of the last change; "" for none, or where no copies are wanted
	made    string // the day of the last copy of this session
	fault   error  // of the last copy
}

func (b *Book) changed() {
	today, before := b.opts.now().Format(time.DateOnly), b.copies.changes
	if !b.opts.Copies || before == today {
		return
	}
	if b.copies.changes = today; before != "" {
		b.copies.beside.Wait()
		b.copies.beside.Go(func() { b.copyDay(today) }) // a save shouldn't wait for it
	}
}

// copyOnClosing makes the day's copy, if one is due.
func (b *Book) copyOnClosing() {
	b.copies.beside.Wait()
	today := b.opts.now().Format(time.DateOnly)
	_, err := os.Lstat(copyPath(copiesOf(b.path), today))
	if b.copies.changes != "" && (b.copies.made == today || err != nil) {
		b.copyDay(today)
	}
}

// copyDay makes the copy of a day, and removes those that it supersedes. The book is safe if that fails.
func (b *Book) copyDay(today string) {
	folder := copiesOf(b.path)
	b.copies.made = today
	err := guarded(func() error {
		// What a copy left that was broken off. Nobody else makes copies here: the book is locked.
		broken, err := filepath.Glob(filepath.Join(folder, ".*"+copyEnding+".new-*"))
		for _, name := range broken {
			err = errors.Join(err, os.Remove(name))
		}
		if err == nil {
			err = newFile(copyPath(folder, today), true, func(draft *os.File) error {
				_, err := copyInto(draft, b.path)
				return err
			})
		}
		if err != nil {
			return fmt.Errorf("%s: %w", copyPath(folder, today), err)
		}
		days, err := copyDays(folder)
		for _, day := range superseded(days) {
			if day != today {
				err = errors.Join(err, os.Remove(copyPath(folder, day)))
			}
		}
		return err
	})
	b.copies.fault = explain("making the day's copy of", b.path, err)
}

// CopyFault says, once the book is closed, why the copy that was due last couldn't be made.
func (b *Book) CopyFault() error { return b.copies.fault }
