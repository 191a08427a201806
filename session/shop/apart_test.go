package shop_test

import (
	"bytes"
	"maps"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/record"
	"bendbook/session/shop"
)

// live works at random on any bows of a shop, and begins others.
func live(t *rapid.T, w *workshop, when string) {
	for range rapid.IntRange(0, 6).Draw(t, when) {
		rows, err := w.Rack()
		must(t, err)
		if len(rows) == 0 || rapid.IntRange(0, 11).Draw(t, "what") == 0 {
			bow := ash()
			bow.Units = drawUnits(t)
			_, err := w.NewBow(bow, "")
			must(t, err)
			continue
		}
		bench, err := w.Bench(rows[rapid.IntRange(0, len(rows)-1).Draw(t, "bow")].Bow.ID)
		must(t, err)
		_ = drawWork(t, w, bench) // what is refused is of no account here
	}
}

// take imports a file and sees that nothing of it stands otherwise in the book already.
func take(t *rapid.T, w *workshop, file []byte) (added int) {
	must(t, w.Import(bytes.NewReader(file), func(done shop.Imported) {
		if added += done.Entries; len(done.Differ) > 0 {
			t.Fatalf("entries differ: %+v", done)
		}
	}))
	return added
}

// all is every bow of a shop, as it goes to another.
func all(t *rapid.T, w *workshop) []byte {
	var file bytes.Buffer
	must(t, w.ExportAll(func(rec record.Record) error { return record.WriteLine(&file, rec) }))
	return file.Bytes()
}

// holdings are the documents of a shop's entries, by bow and id.
func holdings(t *rapid.T, w *workshop) map[string]string {
	held := make(map[string]string)
	must(t, w.book.Bows(func(desc record.Description) error {
		items, err := w.book.Items(desc.Bow.ID)
		for _, item := range items {
			key := desc.Bow.ID + " " + item.Entry.ID
			if _, twice := held[key]; twice {
				t.Fatalf("%s is in the book twice", key)
			}
			held[key] = string(item.Doc)
		}
		return err
	}))
	return held
}

// TestShopsThatLivedApartComeTogether: whatever two shops did since they parted, each that takes in the
// other's record has the entries of both, in one order; none is lost, none stands twice, and once more adds
// nothing.
func TestShopsThatLivedApartComeTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		one, other := newWorkshop(7), newWorkshop(8)
		_, err := one.NewBow(ash(), "")
		must(t, err)
		live(t, one, "before")
		take(t, other, all(t, one))
		other.time = one.time
		want := make(map[string]string)
		var files [2][]byte
		for i, w := range []*workshop{one, other} {
			live(t, w, "apart")
			files[i] = all(t, w)
			maps.Copy(want, holdings(t, w))
		}
		take(t, one, files[1])
		take(t, other, files[0])
		for _, w := range []*workshop{one, other} {
			if got := holdings(t, w); !reflect.DeepEqual(got, want) {
				t.Fatalf("both have %d entries, together they have %d", len(want), len(got))
			}
			for _, file := range [][]byte{files[0], files[1], all(t, other)} {
				if n := take(t, w, file); n != 0 {
					t.Fatalf("once more brings %d entries", n)
				}
			}
		}
		if a, b := all(t, one), all(t, other); !bytes.Equal(a, b) {
			t.Fatalf("the books do not agree:\n%s\n%s", a, b)
		}
	})
}
