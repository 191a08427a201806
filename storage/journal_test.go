package storage

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bendbook/model/record"
)

var overwrites = flag.Int("overwrites", 5, "how many times an open book is overwritten")

// entriesIn opens a book, which then must be whole, and returns how many entries bow "b1" has and what Open
// had to mend.
func entriesIn(t *testing.T, path string) (entries int, notice string) {
	t.Helper()
	book := opened(t, path, Options{Now: noon})
	items, err := itemsOf(book, "b1")
	must(t, err)
	must(t, book.Close())
	whole(t, path)
	return len(items), book.Notice()
}

// holds fails the test unless a book opens, is whole with nothing to mend, and has so many entries in "b1".
func holds(t *testing.T, path string, entries int) {
	t.Helper()
	if n, notice := entriesIn(t, path); n != entries || notice != "" {
		t.Fatalf("%s: %d entries of %d, %q", path, n, entries, notice)
	}
}

// TestAnOlderBookPutBackGetsLaterEntriesFromTheJournal also drops the draft that came with the entry.
func TestAnOlderBookPutBackGetsLaterEntriesFromTheJournal(t *testing.T) {
	t.Parallel()
	path := begun(t, 3)
	older := readFile(t, path)
	book := open(t, path, Options{})
	must(t, book.AddItems("b1", pulls(t, 3, 2), "d"))
	must(t, book.AddBow(bow(t, "b2", 1), ""))
	must(t, book.KeepSettings([]byte(`{"mark":2}`)))
	must(t, book.Close())
	must(t, os.WriteFile(path, older, 0o600))
	n, notice := entriesIn(t, path)
	if want := "1 bow, 3 entries, 1 change of settings came back from the journal."; n != 5 || notice != want {
		t.Errorf("%d entries, %q", n, notice)
	}
	if doc := draftOf(t, open(t, path, Options{}), "d"); doc != "" {
		t.Errorf("the draft is still there: %q", doc)
	}
}

func TestAJournalThatIsMissingDamagedOrShorterIsWrittenAnew(t *testing.T) {
	t.Parallel()
	for what, c := range map[string]struct {
		spoil  func(text []byte) []byte
		notice string
	}{
		"missing": {nil, "The journal was missing. It was written anew from the book."},
		"shorter": {func(text []byte) []byte { return text[:bytes.LastIndexByte(text[:len(text)-1], '\n')+1] },
			"The journal lacked part of the book. It was written anew"},
		"flipped": {func(text []byte) []byte { text[len(text)/2] ^= 4; return text }, "The journal was damaged. It was written anew"},
		"foreign": {func([]byte) []byte { return readFile(t, journalPath(begun(t, 1))) }, "The journal belonged to another book."},
		"empty":   {func([]byte) []byte { return nil }, "The journal was damaged. It was written anew"},
	} {
		path := begun(t, 4)
		journal := journalPath(path)
		if text := readFile(t, journal); c.spoil == nil {
			must(t, os.Remove(journal))
		} else {
			must(t, os.WriteFile(journal, c.spoil(text), 0o600))
		}
		n, notice := entriesIn(t, path)
		if n != 4 || !strings.HasPrefix(notice, c.notice) {
			t.Errorf("%s: %d entries, %q", what, n, notice)
		}
		aside := journal + ".damaged-2027-02-01"
		if _, err := os.Stat(aside); (err == nil) != (c.spoil != nil) || err == nil && !strings.Contains(notice, aside) {
			t.Errorf("%s: the old journal: %v, %q", what, err, notice)
		}
		holds(t, path, 4)
	}
}

// TestASaveThatWasNotWrittenToItsEndIsCutOff cuts the journal at each byte of the last save, of three
// entries, while the book is as it was before.
func TestASaveThatWasNotWrittenToItsEndIsCutOff(t *testing.T) {
	t.Parallel()
	path := begun(t, 3)
	before, start := readFile(t, path), len(readFile(t, journalPath(path)))
	book := open(t, path, Options{})
	must(t, book.AddItems("b1", pulls(t, 3, 3), ""))
	must(t, book.Close())
	text := readFile(t, journalPath(path))
	for end := start; end < len(text); end += 9 {
		must(t, os.WriteFile(path, before, 0o600))
		must(t, os.WriteFile(journalPath(path), text[:end], 0o600))
		holds(t, path, 3)
	}
	must(t, os.WriteFile(path, before, 0o600))
	must(t, os.WriteFile(journalPath(path), bytes.Replace(text, []byte("{"), []byte("\x00"), start), 0o600))
	torn := append(bytes.Clone(text[:start+10]), make([]byte, 100)...) // a sector of the first line never came
	must(t, os.WriteFile(journalPath(path), append(torn, text[start+110:]...), 0o600))
	holds(t, path, 3)
}

func TestAJournalTakenAwayIsWrittenAnewAtTheNextSave(t *testing.T) {
	t.Parallel()
	path := begun(t, 2)
	book := open(t, path, Options{})
	must(t, os.Remove(journalPath(path)))
	must(t, book.AddItems("b1", pulls(t, 2, 1), ""))
	must(t, os.WriteFile(journalPath(path), []byte("something"), 0o600))
	must(t, book.AddItems("b1", pulls(t, 3, 1), ""))
	must(t, book.Close())
	holds(t, path, 4)
}

// TestAnOpenBookThatIsOverwrittenLosesNothing overwrites an open book with an older copy of itself, as cp
// does.
func TestAnOpenBookThatIsOverwrittenLosesNothing(t *testing.T) {
	t.Parallel()
	for run := range *overwrites {
		path := begun(t, run*7)
		older := readFile(t, path)
		book := opened(t, path, Options{Now: noon})
		n := run * 7
		for range run%5 + 1 {
			n++
			must(t, book.AddItems("b1", []record.Item{pull(t, n)}, ""))
		}
		must(t, os.WriteFile(path, older, 0o600)) // keeps the file, as cp does
		write := []func() error{
			func() error { return book.SaveDraft("d", nil) },
			func() error { return book.AddItems("b1", []record.Item{pull(t, n+1)}, "") },
		}[run%2]
		for range 2 {
			fails(t, write(), errOverwritten, "what you saved is in the journal")
		}
		if err := book.Close(); err != nil && !errors.Is(err, errOverwritten) {
			t.Errorf("run %d: closing: %v", run, err)
		}
		if got, notice := entriesIn(t, path); got != n || !strings.Contains(notice, "came back from the journal") {
			t.Errorf("run %d: %d entries of %d, %q", run, got, n, notice)
		}
	}
}

func TestFilesAreForTheirOwnerAlone(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "shop", "ash.book")
	book := opened(t, path, Options{Now: noon, Copies: true})
	must(t, book.AddBow(bow(t, "b1", 1), ""))
	for _, name := range []string{path, journalPath(path)} {
		mode(t, name, 0o600)
	}
	must(t, book.Close())
	must(t, os.Remove(journalPath(path)))
	_, _ = entriesIn(t, path)
	for _, name := range []string{journalPath(path), copyPath(copiesOf(path), "2027-02-01")} {
		mode(t, name, 0o600)
	}
	mode(t, copiesOf(path), 0o700)
	mode(t, filepath.Dir(path), 0o700)
}

func mode(t *testing.T, path string, want os.FileMode) {
	t.Helper()
	info, err := os.Stat(path)
	must(t, err)
	if got := info.Mode().Perm(); got != want && os.PathSeparator == '/' {
		t.Errorf("%s has mode %o, want %o", path, got, want)
	}
}

// TestAnEntryStaysByteForByte keeps what no version of ours knows, and what JSON would write otherwise.
func TestAnEntryStaysByteForByte(t *testing.T) {
	t.Parallel()
	path := begun(t, 0)
	book := open(t, path, Options{})
	item := pull(t, 1)
	item.Doc = []byte(`{"kind":"pull","draw":20.50,"peak":1e1,"unknown":{"sum":"<&>\u00e9é` + "\u2028" + `"},"upper":[1.0,null,3]}`)
	must(t, book.AddItems("b1", []record.Item{item}, ""))
	items, err := itemsOf(book, "b1")
	must(t, err)
	if !bytes.Equal(items[0].Doc, item.Doc) || !bytes.Contains(readFile(t, journalPath(path)), item.Doc) {
		t.Errorf("got %s", items[0].Doc)
	}
}

// TestABookOfThisLayoutStaysReadable opens the sample in testdata/book, which was written when the layout
// was new.
func TestABookOfThisLayoutStaysReadable(t *testing.T) {
	t.Parallel()
	path := bookPath(t)
	must(t, os.WriteFile(path, readFile(t, "../testdata/book/v2.book"), 0o600))
	must(t, os.WriteFile(journalPath(path), readFile(t, "../testdata/book/v2.book.journal"), 0o600))
	n, notice := entriesIn(t, path)
	if n != 3 || notice != "" {
		t.Errorf("%d entries, %q", n, notice)
	}
	items, err := itemsOf(open(t, path, Options{}), "b1")
	if err != nil || string(items[2].Doc) != string(pull(t, 3).Doc) || items[2].Entry.ID != "given-3" {
		t.Errorf("got %v, %v", items, err)
	}
}
