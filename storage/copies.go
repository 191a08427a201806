package storage

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"bendbook/model/plain"
)

// Copies of a book that are made by themselves lie in a folder beside it, each named after its day: one a day for a week, one
// a week for a quarter of a year, one a year for good.
const (
	copiesFolder = ".copies"
	copyEnding   = ".book"
	daysDaily    = 7
	daysWeekly   = 91
)

// copiesOf is the folder for the copies of the book at path.
func copiesOf(path string) string { return path + copiesFolder }

// day is a day of the calendar, at midnight in UTC, so that days differ by whole days.
type day time.Time

func dayOf(t time.Time) day {
	return day(time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC))
}

func (d day) String() string { return time.Time(d).Format(time.DateOnly) }

// since is how many days d is after other.
func (d day) since(other day) int { return int(time.Time(d).Sub(time.Time(other)) / (24 * time.Hour)) }

// superseded are those of the copies' days that need not be kept on the day today. Of the last seven days each copy is kept, of
// the last thirteen weeks the last one of each week (from Monday), and the last one of each year. The last copy of all is always kept,
// and so is one from a day to come, of which a clock that was wrong is to blame.
func superseded(days []day, today day) []day {
	days = slices.Clone(days)
	slices.SortFunc(days, func(a, b day) int { return time.Time(b).Compare(time.Time(a)) })
	type week struct{ year, week int }
	weeks, years := make(map[week]bool), make(map[int]bool)
	var drop []day
	for i, d := range days {
		year, number := time.Time(d).ISOWeek()
		age := today.since(d)
		lastOfWeek, lastOfYear := !weeks[week{year, number}], !years[time.Time(d).Year()]
		weeks[week{year, number}], years[time.Time(d).Year()] = true, true
		if i == 0 || age < daysDaily || age < daysWeekly && lastOfWeek || lastOfYear {
			continue
		}
		drop = append(drop, d)
	}
	return drop
}

// copyDays are the days of the copies in a folder, the last first. Files that are none of ours are passed over.
func copyDays(folder string) ([]day, error) {
	files, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var days []day
	for _, file := range files {
		name, ours := strings.CutSuffix(file.Name(), copyEnding)
		t, err := time.Parse(time.DateOnly, name)
		if ours && err == nil && file.Type().IsRegular() {
			days = append(days, day(t))
		}
	}
	slices.SortFunc(days, func(a, b day) int { return time.Time(b).Compare(time.Time(a)) })
	return days, err
}

func copyPath(folder string, d day) string { return filepath.Join(folder, d.String()+copyEnding) }

// prune removes the copies that the rule does not keep. It must only be called when a whole one was just made.
func prune(folder string, today day) error {
	days, err := copyDays(folder)
	if err != nil {
		return err
	}
	for _, d := range superseded(days, today) {
		if err := os.Remove(copyPath(folder, d)); err != nil {
			return err
		}
	}
	return nil
}

// ListedCopy is one of the copies that were made by themselves.
type ListedCopy struct {
	Day           string // as in 2027-02-01
	Bows, Entries int
	Err           error // what is wrong with it; nil where it is whole
}

// Copies are those of a book that were made by themselves, the last first.
type Copies struct {
	Book   string
	Folder string
	Copies []ListedCopy
}

// ListCopies looks at each copy of the book at path and reads it whole. The book itself need not be there.
func ListCopies(path string, opts Options) (Copies, error) {
	opts = opts.withDefaults()
	found, err := locate(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return Copies{}, explain("listing the copies of", path, err)
	}
	all := Copies{Book: path, Folder: copiesOf(found)}
	days, err := copyDays(all.Folder)
	if err != nil {
		return Copies{}, explain("listing the copies of", path, err)
	}
	for _, d := range days {
		var met tally
		err := guarded(func() (err error) {
			met, err = readBack(copyPath(all.Folder, d), opts)
			return err
		})
		all.Copies = append(all.Copies, ListedCopy{d.String(), met.bows, met.entries, err})
	}
	return all, nil
}

// Whole says whether every copy is.
func (c Copies) Whole() bool {
	return !slices.ContainsFunc(c.Copies, func(one ListedCopy) bool { return one.Err != nil })
}

// Lines tell of each copy.
func (c Copies) Lines() []string {
	if len(c.Copies) == 0 {
		return []string{shown(fmt.Sprintf("there are no copies of %s yet", c.Book))}
	}
	var lines []string
	for _, one := range c.Copies {
		if one.Err != nil {
			lines = append(lines, shown(fmt.Sprintf("%s  not whole: %s", one.Day, one.Err.Error())))
			continue
		}
		lines = append(lines, fmt.Sprintf("%s  %s, %s, whole", one.Day, plain.Plural(one.Bows, "%d bow", "%d bows", one.Bows), plain.Plural(one.Entries, "%d entry", "%d entries", one.Entries)))
	}
	return append(lines, shown(fmt.Sprintf("they are in %s", c.Folder)))
}
