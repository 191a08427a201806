package storage

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func date(text string) day {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		panic(err)
	}
	return day(t)
}

// TestWhatIsKeptOfTheCopies makes copies on any days, in order, and asks after each what a maker was promised.
func TestWhatIsKeptOfTheCopies(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		today := time.Date(2026, 11, rapid.IntRange(1, 30).Draw(t, "first"), 0, 0, 0, 0, time.UTC)
		var made, kept []time.Time
		for range rapid.IntRange(1, 120).Draw(t, "copies") {
			made, kept = append(made, today), append(kept, today)
			days := make([]day, len(kept))
			for i, k := range kept {
				days[i] = day(k)
			}
			drop := superseded(days, day(today))
			kept = slices.DeleteFunc(kept, func(k time.Time) bool { return slices.Contains(drop, day(k)) })

			has := func(from, to time.Time) bool { // to is not meant
				return slices.ContainsFunc(kept, func(k time.Time) bool { return !k.Before(from) && k.Before(to) })
			}
			if !slices.Contains(kept, today) {
				t.Fatalf("the copy just made, of %s, is dropped", today)
			}
			for _, m := range made {
				monday := m.AddDate(0, 0, -(int(m.Weekday())+6)%7)
				year := time.Date(m.Year(), 1, 1, 0, 0, 0, 0, time.UTC)
				switch age := today.Sub(m); {
				case age < 7*24*time.Hour && !slices.Contains(kept, m):
					t.Fatalf("on %s that of %s is gone", today, m)
				case age < 84*24*time.Hour && !has(monday, monday.AddDate(0, 0, 7)):
					t.Fatalf("on %s there is none of the week of %s", today, m)
				case !has(year, year.AddDate(1, 0, 0)):
					t.Fatalf("on %s there is none of the year of %s", today, m)
				}
			}
			years := today.Year() - made[0].Year() + 1
			if len(kept) > 7+13+years {
				t.Fatalf("on %s there are %d", today, len(kept))
			}
			today = today.AddDate(0, 0, rapid.OneOf(rapid.Just(1), rapid.IntRange(1, 10), rapid.IntRange(1, 400)).Draw(t, "later"))
		}
	})
}

func TestCopiesOfTheFuture(t *testing.T) {
	t.Parallel()
	// The clock was wrong for a day: nothing goes by it, and later it is a day like others.
	days := []day{date("2027-02-01"), date("2031-05-05"), date("2026-12-24"), date("2026-12-23")}
	if got := superseded(days, date("2027-02-01")); !reflect.DeepEqual(got, []day{date("2026-12-23")}) {
		t.Errorf("dropped are %v", got)
	}
	if got := superseded(nil, date("2027-02-01")); got != nil {
		t.Errorf("dropped are %v", got)
	}
}

func TestForeignFilesAmongTheCopiesStay(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	var want []string
	for _, name := range []string{"2020-01-01.book.old", "letter.txt", "20200101.book", "2020-02-31.book", ".2020-01-01.book", "a2020-01-01.book"} {
		must(t, os.WriteFile(filepath.Join(folder, name), []byte("mine"), 0o600))
		want = append(want, name)
	}
	must(t, os.Mkdir(filepath.Join(folder, "2020-01-02.book"), 0o700))
	must(t, os.Symlink("letter.txt", filepath.Join(folder, "2020-01-03.book")))
	want = append(want, "2020-01-02.book", "2020-01-03.book", "2027-02-01.book", "2020-06-06.book")
	for _, d := range []string{"2027-02-01", "2020-06-06", "2020-06-05"} {
		must(t, os.WriteFile(copyPath(folder, date(d)), nil, 0o600))
	}
	must(t, sweep(folder))
	must(t, prune(folder, date("2027-02-01")))
	var got []string
	files, err := os.ReadDir(folder)
	must(t, err)
	for _, file := range files {
		got = append(got, file.Name())
	}
	slices.Sort(want)
	if !reflect.DeepEqual(got, want) {
		t.Errorf("there is left %v, want %v", got, want)
	}
}
