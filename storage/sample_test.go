package storage

import (
	"os"
	"testing"
)

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
	items, err := open(t, path, Options{}).Items("b1")
	if err != nil || string(items[2].Doc) != string(pull(t, 3).Doc) || items[2].Entry.ID != "given-3" {
		t.Errorf("got %v, %v", items, err)
	}
}
