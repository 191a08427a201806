package storage

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

// refused fails the test unless a file is refused in one line that names it, and stays as it was.
func refused(t *testing.T, content []byte, want error, do string) {
	t.Helper()
	path := bookPath(t)
	must(t, os.WriteFile(path, content, 0o600))
	for _, opts := range []Options{{}, {ReadOnly: true}} {
		_, err := Open(path, opts)
		if !errors.Is(err, want) || !strings.Contains(err.Error(), path) || !strings.HasSuffix(err.Error(), do) {
			t.Errorf("got %v", err)
		}
	}
	left, err := os.ReadDir(filepath.Dir(path))
	if !bytes.Equal(readFile(t, path), content) || err != nil || len(left) != 1 {
		t.Errorf("the file was changed, or something is left beside it: %v, %v", left, err)
	}
}

// fails fails the test unless an error is that one, in one line that ends so.
func fails(t *testing.T, err, is error, end string) {
	t.Helper()
	if !errors.Is(err, is) || !strings.HasSuffix(err.Error(), end) || strings.ContainsAny(err.Error(), "\n\x1b") {
		t.Errorf("got %v", err)
	}
}

// boltFile is a bbolt file with one value in a bucket "book".
func boltFile(t *testing.T, key, value string) []byte {
	t.Helper()
	path := bookPath(t)
	db, err := bbolt.Open(path, 0o600, nil)
	must(t, err)
	must(t, db.Update(func(tx *bbolt.Tx) error {
		b, err := tx.CreateBucket([]byte("book"))
		if err != nil {
			return err
		}
		return b.Put([]byte(key), []byte(value))
	}))
	must(t, db.Close())
	return readFile(t, path)
}

func TestWhatIsNoBookOfThisLayoutIsRefusedUntouched(t *testing.T) {
	t.Parallel()
	refused(t, nil, errEmpty, "remove it to begin a new book there")
	refused(t, []byte("Dear Petra, your bow is on the tree."), errForeign, "choose another file")
	refused(t, boltFile(t, "other", "x"), errForeign, "choose another file")
	old := "\x01\x12\x34\x56\x78" + `{"format":"bendbook/book","version":1,"id":"A"}`
	refused(t, boltFile(t, "head", old), errVersion, "export with the version that wrote it, then import here")
	refused(t, readFile(t, "../testdata/book/v1.book"), errVersion, "then import here")
	newer, err := seal(head{Format: bookFormat, Version: bookVersion + 1, ID: "A"})
	must(t, err)
	refused(t, boltFile(t, "head", string(newer)), errVersion, "then import here")
}

// TestARefreshedViewShowsWhatItsHolderHasWritten looks at a book from a second place, where nothing can be
// written.
func TestARefreshedViewShowsWhatItsHolderHasWritten(t *testing.T) {
	t.Parallel()
	path := begun(t, 1)
	book, view := open(t, path, Options{}), open(t, path, Options{ReadOnly: true})
	for n := 1; n < 4; n++ {
		if changed, err := view.Refresh(); changed || err != nil {
			t.Errorf("nothing was written, but: %v, %v", changed, err)
		}
		must(t, book.AddItems("b1", []record.Item{pull(t, n+1)}, ""))
		if changed, err := view.Refresh(); !changed || err != nil {
			t.Errorf("an entry was written, but: %v, %v", changed, err)
		}
		if items, err := itemsOf(view, "b1"); err != nil || len(items) != n+1 {
			t.Errorf("got %d entries, %v", len(items), err)
		}
	}
	if changed, err := book.Refresh(); changed || err != nil {
		t.Errorf("got %v, %v", changed, err)
	}
	_, err := Open(path, Options{})
	fails(t, err, ErrBusy, "ash.book: it is open in another Bendbook; close it there first")
	for _, err := range []error{
		view.AddBow(bow(t, "b2", 0), ""), view.AddItems("b1", nil, "d"), view.SaveDraft("d", nil), view.DropDraft("d"),
	} {
		fails(t, err, errReadOnly, "nothing can be written to it: shown as of 12:00")
	}
}

func TestABookTakenAwayIsNotWritten(t *testing.T) {
	t.Parallel()
	for what, c := range map[string]struct {
		take func(path string) error
		want error
		do   string
	}{
		"moved": {func(path string) error { return os.Rename(path, path+".away") }, errMoved,
			"put it back and save again, or run bendbook rescue"},
		"removed": {os.Remove, errMoved, "or run bendbook rescue"},
		"cleared": {func(path string) error { return os.RemoveAll(filepath.Dir(path)) }, errMoved,
			"or run bendbook rescue"},
		"replaced": {func(path string) error { return os.Rename(journalPath(path), path) }, errReplaced,
			"put this one back, then save again"},
	} {
		path := begun(t, 5)
		book := opened(t, path, Options{Now: noon})
		must(t, c.take(path))
		for range 2 {
			fails(t, book.AddItems("b1", pulls(t, 5, 1), ""), c.want, c.do)
		}
		if items, err := itemsOf(book, "b1"); err != nil || len(items) != 5 {
			t.Errorf("%s: %d entries, %v", what, len(items), err)
		}
		switch what {
		case "moved":
			must(t, os.Rename(path+".away", path))
			must(t, book.AddItems("b1", pulls(t, 5, 1), ""))
			must(t, book.Close())
			whole(t, path)
		case "removed", "cleared":
			if err := book.Close(); !errors.Is(err, errMoved) {
				t.Errorf("%s: closing: %v", what, err)
			}
			must(t, second(Rescue(path, path+".new", Options{Now: noon})))
			holds(t, path+".new", 5)
		default:
			if err := book.Close(); !errors.Is(err, errReplaced) {
				t.Errorf("%s: closing: %v", what, err)
			}
		}
	}
}

func TestABookCutShortWhileOpenIsNoCrash(t *testing.T) {
	t.Parallel()
	path := begun(t, 500)
	book := opened(t, path, Options{Now: noon})
	must(t, os.Truncate(path, 100))
	if _, err := itemsOf(book, "b1"); !errors.Is(err, errDamaged) {
		t.Errorf("got %v", err)
	}
	if err := book.SaveDraft("d", nil); !errors.Is(err, errDamaged) {
		t.Errorf("got %v", err)
	}
	must(t, book.Close())
	if _, err := Open(path, Options{}); !errors.Is(err, errDamaged) { // the lock is gone with it
		t.Errorf("got %v", err)
	}
}

func TestABookIsForSeveralGoroutines(t *testing.T) {
	t.Parallel()
	path := begun(t, 1)
	book, view := open(t, path, Options{}), open(t, path, Options{ReadOnly: true})
	var group sync.WaitGroup
	for i := range 4 {
		group.Go(func() {
			for n := range 10 {
				if err := book.AddItems("b1", []record.Item{pull(t, 100*(i+1)+n)}, ""); err != nil {
					t.Error(err)
				}
				for _, b := range []*Book{book, view} {
					if _, err := itemsOf(b, "b1"); err != nil {
						t.Error(err)
					}
				}
				if _, err := view.Refresh(); err != nil && !errors.Is(err, errRestless) {
					t.Error(err)
				}
			}
		})
	}
	group.Wait()
	if items, err := itemsOf(book, "b1"); err != nil || len(items) != 41 {
		t.Errorf("%d entries, %v", len(items), err)
	}
}

// TestAnErrorIsOneLineThatSaysWhatToDo holds for what is in the way of a book, too.
func TestAnErrorIsOneLineThatSaysWhatToDo(t *testing.T) {
	t.Parallel()
	dead := filepath.Join(t.TempDir(), "\x1b]dead\a")
	must(t, os.Symlink(dead+"less", dead))
	_, err := Open(dead, Options{})
	fails(t, err, err, "it is a link to a file that isn't there")
	path := begun(t, 1)
	book := open(t, path, Options{})
	for _, c := range []struct {
		err  error
		is   error
		says string
	}{
		{book.AddItems("b1", pulls(t, 0, 1), ""), errTaken, "already in the book"},
		{book.AddItems("b9\x1b[2J", nil, ""), errNoBow, "no such bow in the book"},
		{book.AddItems("b1", []record.Item{{}}, ""), errNoKey, "it has no key"},
		{book.AddBow(bow(t, "b1", 1), ""), errTaken, "bow b1 is already in the book"},
	} {
		fails(t, c.err, c.is, c.says)
	}
}
