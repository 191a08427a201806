package storage

import (
	"errors"
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"
	"time"
)

// pruned are days with one more, without those whose copies it supersedes.
func pruned(days []string, day string) (left []string, gone int) {
	left = append(slices.Clone(days), day)
	slices.Sort(left)
	slices.Reverse(left)
	drop := superseded(left)
	return slices.DeleteFunc(left, func(d string) bool { return d != day && slices.Contains(drop, d) }), len(drop)
}

// TestAWrongClockCostsNoCopies works 450 days, then one session in 2099, then on.
func TestAWrongClockCostsNoCopies(t *testing.T) {
	t.Parallel()
	var days []string
	gone, most := 0, 0
	begin := time.Date(2026, 1, 1, 12, 0, 0, 0, time.UTC)
	add := func(day string) {
		days, gone = pruned(days, day)
		most = max(most, gone)
	}
	for n := range 450 {
		add(begin.AddDate(0, 0, n).Format(time.DateOnly))
	}
	before := len(days)
	if before != newestKept+1 { // and the last one of 2026
		t.Errorf("%d copies: %v", before, days)
	}
	add("2099-06-01")
	if len(days) != before {
		t.Errorf("%d copies before, %d after: %v", before, len(days), days)
	}
	for n := 450; n < 600; n++ {
		add(begin.AddDate(0, 0, n).Format(time.DateOnly))
		if len(days) < before {
			t.Errorf("%d copies are left: %v", len(days), days)
		}
	}
	if most > 1 {
		t.Errorf("a new copy removed %d", most)
	}
	if last := begin.AddDate(0, 0, 599-3).Format(time.DateOnly); !strings.Contains(strings.Join(days, " "), last) {
		t.Errorf("the last days are gone: %v", days)
	}
}

func TestCopiesAreMadeOnClosingAndOnALaterDay(t *testing.T) {
	t.Parallel()
	path := bookPath(t)
	now := noon()
	opts := Options{Now: func() time.Time { return now }, Copies: true}
	book := opened(t, path, opts)
	must(t, book.AddBow(bow(t, "b1", 2), ""))
	now = now.AddDate(0, 0, 1)
	must(t, book.AddItems("b1", pulls(t, 2, 1), ""))
	book.copies.beside.Wait()
	report, err := Copies(path)
	must(t, err)
	if got := report.Lines()[0]; got != "2027-02-02  1 bow, 3 entries, whole" {
		t.Errorf("got %q", got)
	}
	must(t, book.AddItems("b1", pulls(t, 3, 1), ""))
	must(t, book.Close())
	must(t, book.CopyFault())
	if report, err = Copies(path); err != nil || report.Lines()[0] != "2027-02-02  1 bow, 4 entries, whole" {
		t.Errorf("got %q, %v", report.Lines(), err)
	}
	// Nothing was changed, so nothing is copied; and a copy that isn't whole counts for nothing.
	now = now.AddDate(0, 0, 1)
	book = opened(t, path, opts)
	must(t, book.Close())
	must(t, os.Truncate(copyPath(copiesOf(path), "2027-02-02"), 5000))
	report, err = Copies(path)
	if err != nil || report.Whole() || !strings.HasPrefix(report.Lines()[0], "2027-02-02  not whole: ") {
		t.Errorf("got %q, %v", report.Lines(), err)
	}
}

// yesterdays makes a book with a copy of yesterday, of two entries, and two more today.
func yesterdays(t *testing.T) (path string) {
	t.Helper()
	path = bookPath(t)
	book := opened(t, path, Options{Now: func() time.Time { return noon().AddDate(0, 0, -1) }, Copies: true})
	must(t, book.AddBow(bow(t, "b1", 2), ""))
	must(t, book.Close())
	book = opened(t, path, Options{Now: noon})
	must(t, book.AddItems("b1", pulls(t, 2, 2), ""))
	must(t, book.Close())
	return path
}

func TestRestoringYesterdaysCopyBringsTodaysEntriesUnlessAsItWas(t *testing.T) {
	t.Parallel()
	for asItWas, entries := range map[bool]int{false: 4, true: 2} {
		path := yesterdays(t)
		report, err := Restore(path, "2027-01-31", asItWas, Options{Now: noon})
		must(t, err)
		said := strings.Join(report.Lines(), " ")
		if !strings.Contains(said, "is the copy 2027-01-31 now: 1 bow, 2 entries ") ||
			strings.Contains(said, " 2 entries came back from the journal.") == asItWas {
			t.Errorf("got %q", said)
		}
		holds(t, path, entries)
		if n, _ := entriesIn(t, path+".aside-2027-02-01"); n != 4 {
			t.Errorf("aside are %d entries", n)
		}
	}
}

func TestRestoringRefusesWhatIsNotWhole(t *testing.T) {
	t.Parallel()
	path := yesterdays(t)
	copied := copyPath(copiesOf(path), "2027-01-31")
	if _, err := Restore(path, "none.book", true, Options{}); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("got %v", err)
	}
	content := readFile(t, copied)
	content[len(content)/2] ^= 1
	clear(content[3*pageSize : 4*pageSize])
	must(t, os.WriteFile(copied, content, 0o600))
	if _, err := Restore(path, "2027-01-31", false, Options{}); !errors.Is(err, errDamaged) {
		t.Errorf("got %v", err)
	}
	holds(t, path, 4)
}

func TestRescueTakesWhatIsThere(t *testing.T) {
	t.Parallel()
	path := yesterdays(t)
	rescued := func(to string, want int) {
		t.Helper()
		must(t, second(Rescue(path, path+to, Options{Now: noon})))
		holds(t, path+to, want)
	}
	must(t, os.WriteFile(path, []byte("Dear Petra, your bow is on the tree."), 0o600))
	rescued(".letter", 4) // needs nothing of the book where its journal is whole
	must(t, os.Remove(path))
	rescued(".gone", 4)
	must(t, os.Remove(journalPath(path)))
	rescued(".copy", 2)
}

// TestRescueMakesUpADescriptionThatIsLost keeps the entries of a bow that nothing describes any more, and
// the drafts.
func TestRescueMakesUpADescriptionThatIsLost(t *testing.T) {
	t.Parallel()
	path := begun(t, 3)
	for _, name := range []string{path, journalPath(path)} {
		text := strings.ReplaceAll(string(readFile(t, name)), `"wood":"ash"`, `"wood":"elm"`)
		must(t, os.WriteFile(name, []byte(text), 0o600))
	}
	to := path + ".new"
	report, err := Rescue(path, to, Options{Now: noon})
	must(t, err)
	if report.Whole() || !strings.Contains(strings.Join(report.Lines(), "\n"), "lost its description") {
		t.Errorf("got %q", report.Lines())
	}
	book := open(t, to, Options{})
	items, err := itemsOf(book, "b1")
	if err != nil || len(items) != 3 || string(items[0].Doc) != string(pull(t, 1).Doc) {
		t.Errorf("%d entries, %v", len(items), err)
	}
	if doc := draftOf(t, book, "d"); doc != "21 3/8" {
		t.Errorf("the draft is %q", doc)
	}
}
