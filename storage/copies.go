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

// Copies of a book lie in a folder beside it, named after their days. Kept are the newest so many, then the
// last one of each of so many weeks, then the last one of each year.
const (
	copyEnding = ".book"
	newestKept = 7
	weeksKept  = 12
)

func copiesOf(path string) string { return path + ".copies" }

func copyPath(folder, day string) string { return filepath.Join(folder, day+copyEnding) }

// superseded lists the days, given newest first, whose copies need not be kept. It asks no clock what day
// it is: one that is wrong would have good copies removed. Each new copy removes one at most.
func superseded(days []string) (drop []string) {
	weeks, years := make(map[string]bool), make(map[string]bool)
	weekly := 0
	for i, day := range days {
		t, _ := time.Parse(time.DateOnly, day) // copyDays lists no others
		y, w := t.ISOWeek()
		week, year := fmt.Sprint(y, w), t.Format("2006")
		firstOfWeek, firstOfYear := !weeks[week], !years[year]
		weeks[week], years[year] = true, true
		switch {
		case i < newestKept:
		case firstOfWeek && weekly < weeksKept:
			weekly++
		case !firstOfYear:
			drop = append(drop, day)
		}
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
	slices.Sort(days)
	slices.Reverse(days)
	return days, err
}

// Copies looks at each copy of the book at path and reads it whole. The book itself need not be there.
func Copies(path string, _ Options) (Report, error) {
	return onFile("listing the copies of", path, func(r *Report, found string) error {
		days, err := copyDays(copiesOf(found))
		if err == nil && len(days) == 0 {
			r.say("there are no copies of %s yet", path)
			return nil
		}
		for _, day := range days {
			if t, err := readBack(copyPath(copiesOf(found), day)); err == nil {
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

// copies makes the daily copies of an open book: on closing it, if it was changed and the day has none yet;
// and on the first change of a later day. That one is made again on closing.
type copies struct {
	folder  string
	beside  sync.WaitGroup
	changes string // the day of the last change
	made    string // the day of the last copy of this session
}

// changed is called after each change of the book.
func (c *copies) changed(b *Book) {
	today, before := b.opts.now().Format(time.DateOnly), c.changes
	c.changes = today
	if before != "" && before != today {
		c.beside.Wait()
		c.beside.Go(func() { c.make(b, today) }) // a save shouldn't wait for it
	}
}

// closing makes the day's copy, if one is due.
func (c *copies) closing(b *Book) {
	c.beside.Wait()
	today := b.opts.now().Format(time.DateOnly)
	_, err := os.Lstat(copyPath(c.folder, today))
	if c.changes != "" && (c.made == today || err != nil) {
		c.make(b, today)
	}
}

// make makes the copy of a day, and removes those that it supersedes. The book is safe if that fails.
func (c *copies) make(b *Book, today string) {
	c.made = today
	err := guarded(func() error {
		// What a copy left that was broken off. Nobody else makes copies here: the book is locked.
		broken, err := filepath.Glob(filepath.Join(c.folder, ".*"+copyEnding+".new-*"))
		for _, name := range broken {
			err = errors.Join(err, os.Remove(name))
		}
		if err == nil {
			err = newFile(copyPath(c.folder, today), true, func(draft *os.File) error {
				_, err := copyInto(draft, b.path)
				return err
			})
		}
		if err != nil {
			return fmt.Errorf("%s: %w", copyPath(c.folder, today), err)
		}
		days, err := copyDays(c.folder)
		for _, day := range superseded(days) {
			if day != today {
				err = errors.Join(err, os.Remove(copyPath(c.folder, day)))
			}
		}
		return err
	})
	b.copyFault = explain("making the day's copy of", b.path, err)
}
