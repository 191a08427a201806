package storage

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"
)

// clockwork is a time that a test sets.
type clockwork struct{ now time.Time }

func (c *clockwork) options() Options {
	return Options{Copies: true, Now: func() time.Time { return c.now }}
}

// copied are the days of the copies and how many entries of bow b1 are in each.
func copied(t *testing.T, path string) map[string]int {
	t.Helper()
	all, err := ListCopies(path, Options{Now: noon})
	must(t, err)
	got := make(map[string]int)
	for _, one := range all.Copies {
		must(t, one.Err)
		got[one.Day] = one.Entries
	}
	return got
}

// work opens the book, adds entries and closes it.
func work(t *testing.T, path string, c *clockwork, first, n int) {
	t.Helper()
	book, err := Open(path, c.options())
	must(t, err)
	for i := range n {
		must(t, book.AddItems("b1", pulls(t, first+i, 1), ""))
	}
	must(t, book.Close())
	must(t, book.CopyFault())
}

func TestACopyIsMadeEachDayThatTheBookIsChanged(t *testing.T) {
	t.Parallel()
	path := begin(t, 0)
	c := &clockwork{noon()}
	work(t, path, c, 0, 0)
	if got := copied(t, path); len(got) != 0 {
		t.Errorf("nothing was written, and there is %v", got)
	}
	work(t, path, c, 0, 2)
	work(t, path, c, 2, 1) // The day has one.
	c.now = c.now.AddDate(0, 0, 1)
	work(t, path, c, 0, 0) // Nothing is written.
	if got := copied(t, path); !reflect.DeepEqual(got, map[string]int{"2027-02-01": 2}) {
		t.Errorf("got %v", got)
	}
	work(t, path, c, 3, 1)
	if got := copied(t, path); !reflect.DeepEqual(got, map[string]int{"2027-02-01": 2, "2027-02-02": 4}) {
		t.Errorf("got %v", got)
	}
	if left, _ := filepath.Glob(copiesOf(path) + "/.*"); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	info, err := os.Stat(copyPath(copiesOf(path), date("2027-02-01")))
	if err != nil || info.Mode().Perm() != 0o600 && os.PathSeparator == '/' {
		t.Errorf("the copy has mode %v, %v", info.Mode(), err)
	}
}

func TestABookThatIsNeverClosedIsCopiedToo(t *testing.T) {
	t.Parallel()
	path := begin(t, 0)
	c := &clockwork{noon()}
	work(t, path, c, 0, 2)
	book, err := Open(path, c.options())
	must(t, err)
	defer func() { must(t, book.Close()) }()
	for day := range 3 {
		must(t, book.AddItems("b1", pulls(t, 2+2*day, 2), ""))
		book.rolling.under.Wait()
		c.now = c.now.AddDate(0, 0, 1)
	}
	// The first change of each new day takes what the day before has left.
	got := copied(t, path)
	if got["2027-02-01"] != 2 || got["2027-02-02"] != 6 || got["2027-02-03"] != 8 || len(got) != 3 {
		t.Errorf("got %v", got)
	}
}

func TestADamagedBookIsNeverCopiedOverAGoodCopy(t *testing.T) {
	t.Parallel()
	path := fileWith(t, readFile(t, begin(t, 0)))
	c := &clockwork{noon()}
	work(t, path, c, 0, 2)
	before := readFile(t, copyPath(copiesOf(path), date("2027-02-01")))
	c.now = c.now.AddDate(0, 0, 1)
	book, err := Open(path, c.options())
	must(t, err)
	must(t, book.AddItems("b1", pulls(t, 2, 1), ""))
	book.rolling.under.Wait()
	c.now = c.now.AddDate(0, 0, 1)
	must(t, book.AddItems("b1", pulls(t, 3, 1), ""))
	book.rolling.under.Wait()
	second := readFile(t, copyPath(copiesOf(path), date("2027-02-03")))
	// While it is open the disk spoils an entry.
	content := readFile(t, path)
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	must(t, err)
	for at := range occurrences(content, string(pull(t, 2).Doc)) {
		_, err = file.WriteAt([]byte{content[at+20] ^ 4}, int64(at)+20)
		must(t, err)
	}
	must(t, file.Close())
	must(t, book.SaveDraft("d", []byte("x")))
	must(t, book.Close())
	if err := book.CopyFault(); !errors.Is(err, ErrUnsound) || !strings.HasPrefix(err.Error(), "making the day's copy of "+path) || strings.Contains(err.Error(), "\n") {
		t.Errorf("got %v", err)
	}
	if !bytes.Equal(readFile(t, copyPath(copiesOf(path), date("2027-02-01"))), before) ||
		!bytes.Equal(readFile(t, copyPath(copiesOf(path), date("2027-02-03"))), second) {
		t.Error("a good copy was changed")
	}
	if _, err := Open(path, Options{}); !errors.Is(err, ErrDamaged) {
		t.Errorf("the damaged book is opened for writing: %v", err)
	}
	if _, err := Restore(path, "2027-02-03", Options{Now: noon}); err != nil {
		t.Error(err)
	}
	if items, err := open(t, path, Options{}).Items("b1"); err != nil || len(items) != 4 {
		t.Errorf("restored are %d entries, %v", len(items), err)
	}
}

func TestACopyThatCannotBeMadeStopsNothing(t *testing.T) {
	t.Parallel()
	path := begin(t, 0)
	must(t, os.WriteFile(copiesOf(path), []byte("a file in the way"), 0o600))
	c := &clockwork{noon()}
	book, err := Open(path, c.options())
	must(t, err)
	must(t, book.AddItems("b1", pulls(t, 0, 1), ""))
	must(t, book.Close())
	if err := book.CopyFault(); err == nil || strings.Contains(err.Error(), "\n") || !strings.HasPrefix(err.Error(), "making the day's copy of "+path) {
		t.Errorf("got %v", err)
	}
	if items, err := open(t, path, Options{}).Items("b1"); err != nil || len(items) != 1 {
		t.Errorf("got %d entries, %v", len(items), err)
	}
}
