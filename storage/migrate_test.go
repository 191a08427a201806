package storage

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"go.etcd.io/bbolt"
)

// later is a made-up schema, two versions on: drafts go to another bucket, then a further bucket is added.
func later() schema {
	return schema{version: 3, steps: map[int]func(*bbolt.Tx) error{
		1: func(tx *bbolt.Tx) error {
			forms, err := tx.CreateBucket([]byte("forms"))
			if err != nil {
				return err
			}
			return tx.Bucket([]byte(sortDrafts)).ForEach(forms.Put)
		},
		2: func(tx *bbolt.Tx) error {
			_, err := tx.CreateBucket([]byte("staves"))
			return err
		},
	}}
}

func has(t *testing.T, book *Book, bucket, key string) bool {
	t.Helper()
	found := false
	must(t, book.view("looking", func(tx *bbolt.Tx) error {
		b := tx.Bucket([]byte(bucket))
		found = b != nil && (key == "" || b.Get([]byte(key)) != nil)
		return nil
	}))
	return found
}

func beside(t *testing.T, path string) []string {
	t.Helper()
	found, err := filepath.Glob(path + ".*")
	must(t, err)
	return found
}

func TestAnEarlierBookIsBroughtUpToDate(t *testing.T) {
	path := bookPath(t)
	must(t, os.WriteFile(path, readFile(t, begin(t, 5)), 0o600))
	before := readFile(t, path)
	book, err := Open(path, Options{schema: later(), Now: noon})
	must(t, err)
	if !has(t, book, "forms", "d") || !has(t, book, "staves", "") {
		t.Error("a step was left out")
	}
	id := book.ID()
	must(t, book.Close())

	copied := path + ".v1-20270201"
	if got := beside(t, path); !reflect.DeepEqual(got, []string{copied}) {
		t.Fatalf("beside the book there is %v", got)
	}
	if !bytes.Equal(readFile(t, copied), before) {
		t.Error("the copy is not the book as it was")
	}
	old := open(t, fileWith(t, before), Options{})
	if items, err := old.Items("b1"); err != nil || len(items) != 5 || old.ID() != id {
		t.Errorf("the copy has %d entries, %v, id %s", len(items), err, old.ID())
	}

	// Opened once more, nothing happens; and what does not know the version leaves it alone.
	book, err = Open(path, Options{schema: later()})
	must(t, err)
	must(t, book.Close())
	if _, err := Open(path, Options{}); !errors.Is(err, ErrNewer) {
		t.Errorf("got %v", err)
	}
	if got := beside(t, path); len(got) != 1 {
		t.Errorf("beside the book there is %v", got)
	}
}

func TestACopyOfAnEarlierBookIsBroughtUpToDateAlone(t *testing.T) {
	path := begin(t, 5)
	before := readFile(t, path)
	view, err := Open(path, Options{schema: later(), ReadOnly: true})
	must(t, err)
	if !has(t, view, "forms", "d") {
		t.Error("a step was left out")
	}
	must(t, view.Close())
	if !bytes.Equal(readFile(t, path), before) || len(beside(t, path)) > 0 {
		t.Errorf("the book was changed, or something laid beside it: %v", beside(t, path))
	}
}

func TestAMigrationThatFailsLeavesTheBookAsItWas(t *testing.T) {
	stuck := errors.New("a stave is in the way")
	failing, missing, panicking := later(), later(), later()
	failing.steps[2] = func(*bbolt.Tx) error { return stuck }
	delete(missing.steps, 2)
	panicking.steps[2] = func(tx *bbolt.Tx) error { panic("wild page") }
	for _, c := range []struct {
		name   string
		schema schema
		want   string
	}{
		{"failing", failing, "bringing the book from version 2 to 3: a stave is in the way"},
		{"missing", missing, "no way is known from version 2 of a book to 3"},
		{"panicking", panicking, "it is damaged (wild page)"},
	} {
		path := begin(t, 5)
		_, err := Open(path, Options{schema: c.schema})
		if err == nil || !strings.HasPrefix(err.Error(), "opening "+path+": "+c.want) {
			t.Errorf("%s: got %v", c.name, err)
		}
		if got := beside(t, path); len(got) > 0 {
			t.Errorf("%s: beside the book there is %v", c.name, got)
		}
		book := open(t, path, Options{})
		if items, err := book.Items("b1"); err != nil || len(items) != 5 || has(t, book, "forms", "") {
			t.Errorf("%s: got %d entries, %v", c.name, len(items), err)
		}
	}
}

// TestBooksOfEveryVersionOpen opens the samples in testdata/book: one was laid down when each version was new, and
// none is ever changed.
func TestBooksOfEveryVersionOpen(t *testing.T) {
	for _, name := range []string{"v1.book"} {
		path := fileWith(t, readFile(t, filepath.Join("..", "testdata", "book", name)))
		book := open(t, path, Options{})
		desc, ok, err := book.Bow("01K3ASHFLATBOW0000000000AA")
		if err != nil || !ok || desc.Bow.Name != "Ash flatbow" || string(desc.Extra["shop"]) != `{"rack":3.10}` {
			t.Errorf("%s: got %+v, %v, %v", name, desc, ok, err)
		}
		items, err := book.Items(desc.Bow.ID)
		if err != nil || len(items) != 3 || string(items[2].Doc) != `{"kind":"note","text":"a knot at 12, upper","at":"2027-01-10T09:20:00Z"}` {
			t.Errorf("%s: got %+v, %v", name, items, err)
		}
		if doc, ok, err := book.Draft("pull/" + desc.Bow.ID); err != nil || !ok || string(doc) != `{"draw":"18"}` {
			t.Errorf("%s: got draft %q, %v, %v", name, doc, ok, err)
		}
		if book.ID() != "01K3ASHBOOK000000000000000" {
			t.Errorf("%s: got id %s", name, book.ID())
		}
	}
}
