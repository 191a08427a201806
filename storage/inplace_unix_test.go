//go:build !windows

package storage

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// takenAway opens a book in a folder of its own, lets take do something with its file, and returns the book and what saving then says.
func takenAway(t *testing.T, take func(path string)) (book *Book, path string, said error) {
	t.Helper()
	path = fileWith(t, readFile(t, begin(t, 5)))
	book, err := Open(path, Options{Now: noon})
	must(t, err)
	t.Cleanup(func() { _ = book.Close() })
	must(t, book.SaveDraft("d", []byte("confirmed")))
	take(path)
	err = book.SaveDraft("d", []byte("refused"))
	if !errors.Is(err, ErrMoved) || strings.Contains(err.Error(), "\n") || !strings.Contains(err.Error(), path) {
		t.Fatalf("got %v", err)
	}
	// What it holds can be read on.
	if items, err := book.Items("b1"); err != nil || len(items) != 5 {
		t.Errorf("got %d entries, %v", len(items), err)
	}
	return book, path, err
}

// confirmedIn fails the test unless the book at path is whole and has what was confirmed.
func confirmedIn(t *testing.T, path string) {
	t.Helper()
	book, err := Open(path, Options{Now: noon})
	must(t, err)
	defer func() { must(t, book.Close()) }()
	whole(t, book)
	if doc, _, err := book.Draft("d"); string(doc) != "confirmed" || err != nil {
		t.Errorf("the draft is %q, %v", doc, err)
	}
	if items, err := book.Items("b1"); err != nil || len(items) != 5 {
		t.Errorf("got %d entries, %v", len(items), err)
	}
}

func TestABookThatWasMovedAwayIsNotWrittenUntilItIsBack(t *testing.T) {
	book, path, said := takenAway(t, func(path string) { must(t, os.Rename(path, path+".away")) })
	if want := "; put it back, then save again"; !strings.HasSuffix(said.Error(), want) {
		t.Errorf("got %q", said)
	}
	must(t, os.Rename(path+".away", path))
	must(t, book.SaveDraft("e", []byte("again")))
	must(t, book.Close())
	confirmedIn(t, path)
	if left, err := os.ReadDir(filepath.Dir(path)); err != nil || len(left) != 1 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestABookThatWasRemovedIsKeptAside(t *testing.T) {
	book, path, said := takenAway(t, func(path string) { must(t, os.Remove(path)) })
	kept := path + ".kept"
	if want := "nothing is there now; what was in it is kept as " + kept + ": leave, put that in its place, and start again"; !strings.HasSuffix(said.Error(), want) {
		t.Errorf("got %q", said)
	}
	if err := book.SaveDraft("d", nil); !errors.Is(err, ErrMoved) || err.Error() != said.Error() {
		t.Errorf("the second time: %v", err)
	}
	if err := book.Close(); !errors.Is(err, ErrMoved) {
		t.Errorf("closing says %v", err)
	}
	must(t, os.Rename(kept, path))
	confirmedIn(t, path)
}

func TestABookThatAnotherTookThePlaceOfIsKeptAside(t *testing.T) {
	other := fileWith(t, readFile(t, begin(t, 1)))
	book, path, said := takenAway(t, func(path string) { must(t, os.Rename(other, path)) })
	if !strings.Contains(said.Error(), "another file is there now") {
		t.Errorf("got %q", said)
	}
	_ = book.Close()
	confirmedIn(t, path+".kept")
	// The other one was left as it was.
	now, err := Open(path, Options{})
	must(t, err)
	if items, err := now.Items("b1"); err != nil || len(items) != 1 {
		t.Errorf("got %d entries, %v", len(items), err)
	}
	must(t, now.Close())
}

func TestABookWhoseFolderIsGoneIsKeptAmongTemporaryFiles(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	_, path, said := takenAway(t, func(path string) { must(t, os.RemoveAll(filepath.Dir(path))) })
	kept := filepath.Join(os.TempDir(), filepath.Base(path)+".kept")
	if !strings.Contains(said.Error(), kept) {
		t.Errorf("got %q", said)
	}
	confirmedIn(t, kept)
}

func TestABookThatIsRemovedWithoutAWriteIsKeptOnClosing(t *testing.T) {
	path := fileWith(t, readFile(t, begin(t, 5)))
	book, err := Open(path, Options{Now: noon})
	must(t, err)
	must(t, book.SaveDraft("d", []byte("confirmed")))
	must(t, os.Remove(path))
	if err := book.Close(); !errors.Is(err, ErrMoved) || !strings.Contains(err.Error(), path+".kept") {
		t.Errorf("got %v", err)
	}
	confirmedIn(t, path+".kept")
}
