package session_test

import (
	"bytes"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/record"
	"bendbook/session"
)

// apart are shops that share a past and then live apart, with the files that go between them.
type apart struct {
	t     *rapid.T
	shops []*workshop
	// notebooks says that the shops also take in lines without ids and times, which stand where each shop put them.
	notebooks bool
}

// shared is a new set of shops, each with what the first did before they parted.
func shared(t *rapid.T, n int) apart {
	a := apart{t: t, notebooks: rapid.Bool().Draw(t, "notebooks")}
	for i := range n {
		a.shops = append(a.shops, newWorkshop(int64(7+i)))
	}
	first := a.shops[0]
	if a.notebooks {
		a.take(first, notebook(t))
	} else {
		a.begin(first)
	}
	for range rapid.IntRange(0, 2).Draw(t, "more bows of the past") {
		a.begin(first)
	}
	a.live(first, "before")
	for _, w := range a.shops[1:] {
		a.take(w, all(t, first))
		w.time = first.time
	}
	return a
}

// begin puts a new bow into a shop.
func (a apart) begin(w *workshop) {
	bow := ash()
	bow.Units = drawUnits(a.t)
	_, err := w.NewBow(bow, "")
	must(a.t, err)
}

// live works on any bows of a shop, begins others, and takes in what is written elsewhere.
func (a apart) live(w *workshop, when string) {
	for range rapid.IntRange(0, 6).Draw(a.t, when) {
		rows, err := w.Rack()
		must(a.t, err)
		switch what := rapid.IntRange(0, 11).Draw(a.t, "what"); {
		case what == 0 || len(rows) == 0:
			a.begin(w)
		case what == 1 && a.notebooks:
			a.take(w, notebook(a.t))
		default:
			bench, err := w.Bench(rows[rapid.IntRange(0, len(rows)-1).Draw(a.t, "bow")].Bow.ID)
			must(a.t, err)
			_ = drawWork(a.t, w, bench) // what is refused is of no account here
		}
	}
}

// notebook is what somebody wrote down of one bow: one of three books, whose first pages are known. Its lines have no ids,
// most have no time, and none stands in two of the books.
func notebook(t *rapid.T) []byte {
	book := rapid.IntRange(0, 2).Draw(t, "notebook")
	var lines []string
	for n := range rapid.IntRange(0, 5).Draw(t, "pages") {
		at := ""
		if (n+book)%3 == 2 {
			at = fmt.Sprintf(`,"at":"2027-01-1%dT08:0%d:00Z"`, n%3, book)
		}
		switch n % 3 {
		case 0:
			lines = append(lines, fmt.Sprintf(`{"kind":"pull","draw":%d,"peak":20.%d%s}`, 14+n, book, at))
		case 1:
			lines = append(lines, fmt.Sprintf(`{"kind":"scrape","limb":"upper","from":%d,"to":20,"tool":"rasp %d"%s}`, n, book, at))
		default:
			lines = append(lines, fmt.Sprintf(`{"kind":"bow","set":{"name":"Elm %d-%d"}%s}`, book, n, at))
		}
	}
	return []byte(`{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"elm","name":"Elm",` +
		`"limbs":{"upper":{"length":34,"stations":[6]},"lower":{"length":33,"stations":[6]}}},"entries":[` + strings.Join(lines, ",") + `]}`)
}

// take imports a file and sees that nothing of it stands otherwise in the book already.
func (a apart) take(w *workshop, file []byte) {
	must(a.t, w.Import(bytes.NewReader(file), func(done session.Imported) {
		if len(done.Differ) > 0 {
			a.t.Fatalf("entries differ: %+v", done)
		}
	}))
}

// all is every bow of a shop, as it goes to another.
func all(t *rapid.T, w *workshop) []byte {
	var file bytes.Buffer
	must(t, w.ExportAll(func(rec record.Record) error { return record.WriteLine(&file, rec) }))
	return file.Bytes()
}

// merged is a new shop that takes in files one after the other.
func (a apart) merged(files ...[]byte) *workshop {
	w := newWorkshop(99)
	for _, file := range files {
		a.take(w, file)
	}
	w.time = a.shops[0].time
	return w
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

// laterThanAll is after all that the shops do apart.
var laterThanAll = monday.AddDate(1, 0, 0)

// same fails where two shops' books hold different entries, or say different things: in what goes out of them, in
// their stories, on their racks.
func (a apart) same(what string, w, other *workshop) {
	t := a.t
	if a.notebooks {
		if !reflect.DeepEqual(holdings(t, w), holdings(t, other)) {
			t.Fatalf("%s: the books do not hold the same", what)
		}
		return
	}
	if one, two := all(t, w), all(t, other); !bytes.Equal(one, two) {
		t.Fatalf("%s: the books do not agree:\n%s\n%s", what, one, two)
	}
	w.time, other.time = laterThanAll, laterThanAll // what can be done today follows from the day
	rows, err := w.Rack()
	must(t, err)
	others, err := other.Rack()
	must(t, err)
	if len(rows) != len(others) {
		t.Fatalf("%s: %d bows and %d", what, len(rows), len(others))
	}
	for _, row := range rows {
		story, err := w.Story(row.Bow.ID)
		must(t, err)
		told, err := other.Story(row.Bow.ID)
		must(t, err)
		if !reflect.DeepEqual(told, story) {
			t.Fatalf("%s: of %s they tell\n%+v\n%+v", what, row.Bow.Name, story, told)
		}
		at := slices.IndexFunc(others, func(r session.Row) bool { return r.Bow.ID == row.Bow.ID })
		if at < 0 || !reflect.DeepEqual(others[at], row) {
			t.Fatalf("%s: of %s the racks say different things", what, row.Bow.Name)
		}
	}
}

// TestShopsThatLivedApartMergeToOne: whatever two or three shops did since they parted, their books hold the same in
// whatever order they are brought together, and tell the same of what was done in the shops; no entry is lost, none
// stands twice, and once more changes nothing.
func TestShopsThatLivedApartMergeToOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := shared(t, 3)
		for _, w := range a.shops {
			a.live(w, "apart")
		}
		want := make(map[string]string)
		var files [3][]byte
		for i, w := range a.shops {
			files[i] = all(t, w)
			for key, doc := range holdings(t, w) {
				want[key] = doc
			}
		}
		x, y, z := files[0], files[1], files[2]

		one := a.merged(x, y, z)
		if got := holdings(t, one); !reflect.DeepEqual(got, want) {
			t.Fatalf("the three have %d entries, together they have %d", len(want), len(got))
		}
		orders := map[string]func() *workshop{
			"x z y": func() *workshop { return a.merged(x, z, y) }, "y x z": func() *workshop { return a.merged(y, x, z) },
			"y z x": func() *workshop { return a.merged(y, z, x) }, "z x y": func() *workshop { return a.merged(z, x, y) },
			"z y x":       func() *workshop { return a.merged(z, y, x) },
			"(x y) z":     func() *workshop { return a.merged(all(t, a.merged(x, y)), z) },
			"x (y z)":     func() *workshop { return a.merged(x, all(t, a.merged(y, z))) },
			"(z x) (y x)": func() *workshop { return a.merged(all(t, a.merged(z, x)), all(t, a.merged(y, x))) },
		}
		for _, order := range rapid.Permutation(slices.Sorted(maps.Keys(orders))).Draw(t, "orders")[:3] {
			a.same(order, one, orders[order]())
		}
		pair := a.merged(x, y)
		a.take(a.shops[0], y)
		a.take(a.shops[1], x)
		a.same("each took the other's", a.shops[0], a.shops[1])
		a.same("a third took both", pair, a.shops[0])

		// Once more, and their own.
		for _, file := range [][]byte{x, y, all(t, pair)} {
			must(t, pair.Import(bytes.NewReader(file), func(done session.Imported) {
				if done.New || done.Entries != 0 || done.DescribedElse {
					t.Fatalf("once more brings %+v", done)
				}
			}))
		}
		a.same("once more", pair, a.shops[0])
	})
}
