package storage

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session/shop"
)

// checker is a test, or one of rapid's.
type checker interface {
	Helper()
	Fatal(args ...any)
	Errorf(format string, args ...any)
}

// noon is the time in every test.
func noon() time.Time { return time.Date(2027, 2, 1, 12, 0, 0, 0, time.UTC) }

// bookPath is where a test's book will be.
func bookPath(t testing.TB) string {
	t.Helper()
	return filepath.Join(t.TempDir(), "ash.book")
}

// open opens a book that must be whole when the test ends.
func open(t testing.TB, path string, opts Options) *Book {
	t.Helper()
	if opts.Now == nil {
		opts.Now = noon
	}
	book := opened(t, path, opts)
	t.Cleanup(func() {
		must(t, book.Close())
		whole(t, path)
	})
	return book
}

// opened is a book that the test closes itself.
func opened(t checker, path string, opts Options) *Book {
	t.Helper()
	book, err := Open(path, opts)
	must(t, err)
	return book
}

// whole fails the test where a book, or its journal, isn't as it was written.
func whole(t checker, path string) {
	t.Helper()
	report, err := Check(path)
	must(t, err)
	if !report.Whole() {
		t.Errorf("not whole: %s", strings.Join(report.Lines(), "\n"))
	}
}

// bow is a bow's record with n entries, with units and further fields as a stranger's file may have them.
func bow(t testing.TB, id string, n int) record.Record {
	t.Helper()
	quoted, err := json.Marshal(id)
	must(t, err)
	doc := fmt.Sprintf(`{"format":"bendbook/record","version":1,"units":{"length":"cm","force":"kgf"},
		"shop":{"rack": 3.10},"z":null,"bow":{"id":%s,"name":"Ash flat","wood":"ash","mood":"<calm> & 1.50",
		"limbs":{"upper":{"length":86,"stations":[15.0,30,45]},"lower":{"length":84,"stations":[15,30,45]}}},"entries":[]}`, quoted)
	rec, err := record.Parse([]byte(doc))
	must(t, err)
	rec.Items = pulls(t, 0, n)
	return rec
}

// pulls are n entries with the keys from first+1 on. Their documents give no id, as a stranger's may not.
func pulls(t testing.TB, first, n int) []record.Item {
	t.Helper()
	items := make([]record.Item, n)
	for i := range items {
		items[i] = pull(t, first+i+1)
	}
	return items
}

func pull(t testing.TB, n int) record.Item {
	t.Helper()
	doc := fmt.Sprintf(`{"kind":"pull","draw":%d,"peak":%d.50,"upper":[1.0,null,3],"glue":"<hide>"}`, 20+n%50, 10+n%20)
	item, err := record.ParseItem(json.RawMessage(doc), measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce})
	must(t, err)
	item.Key, item.Entry.ID = keyOf(n), fmt.Sprintf("given-%d", n)
	return item
}

func keyOf(n int) record.Key {
	return record.Key{12: byte(n >> 24), 13: byte(n >> 16), 14: byte(n >> 8), 15: byte(n)}
}

func must(t checker, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func readFile(t testing.TB, path string) []byte {
	t.Helper()
	content, err := os.ReadFile(path)
	must(t, err)
	return content
}

func second[T any](_ T, err error) error { return err }

// itemsOf are the entries of a bow.
func itemsOf(book *Book, id string) ([]record.Item, error) {
	rec, _, err := book.Bow(id)
	return rec.Items, err
}

// draftOf is a half-typed form; "" where there is none.
func draftOf(t checker, book *Book, key string) string {
	t.Helper()
	drafts, err := book.Drafts()
	must(t, err)
	return string(drafts[key])
}

// stateOf is all that a book tells, as text.
func stateOf(t checker, book shop.Book) string {
	t.Helper()
	var s strings.Builder
	entries, rows, err := book.Rows()
	must(t, err)
	for _, id := range slices.Sorted(maps.Keys(entries)) {
		rec, _, err := book.Bow(id)
		must(t, err)
		fmt.Fprintf(&s, "%s %d %v %s %s\n", id, entries[id], rec.Bow.Units, rec.Doc, rec.Extra)
		for _, item := range rec.Items {
			fmt.Fprintf(&s, "%s %s %s\n", item.Key, item.Entry.ID, item.Doc)
		}
	}
	drafts, err := book.Drafts()
	must(t, err)
	doc, _, err := book.Settings()
	must(t, err)
	return s.String() + fmt.Sprintf("drafts %s, rows %s, settings %s", drafts, rows, doc)
}
