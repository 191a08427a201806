package storage

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"go.etcd.io/bbolt"
	"pgregory.net/rapid"

	"bendbook/model/measure"
	"bendbook/model/record"
)

// note is an entry whose text stands nowhere else.
func note(t testing.TB, bow string, n int) record.Item {
	t.Helper()
	doc := fmt.Sprintf(`{"kind":"note","text":"%s looked at %d times %s"}`, bow, n, strings.Repeat(".", n%7*40))
	item, err := record.ParseItem(json.RawMessage(doc), measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce})
	must(t, err)
	item.Key, item.Entry.ID = keyOf(n), fmt.Sprintf("%s-%d", bow, n)
	return item
}

// shop is the content of a book as it was written over many transactions, so that pages that are no longer used lie about in it.
func shop(t testing.TB) (content []byte, entries map[string][]record.Item) {
	t.Helper()
	path := bookPath(t)
	book := open(t, path, Options{})
	entries = make(map[string][]record.Item)
	for _, n := range []int{300, 0, 2, 40, 90, 1} {
		id := fmt.Sprintf("bow%d", len(entries))
		must(t, book.AddBow(bow(t, id, 0), ""))
		entries[id] = nil
		for i := 0; i < n; i += 5 {
			var some []record.Item
			for k := i; k < min(n, i+5); k++ {
				some = append(some, note(t, id, k+1))
			}
			must(t, book.AddItems(id, some, ""))
			entries[id] = append(entries[id], some...)
			must(t, book.SaveDraft("pull/"+id, fmt.Appendf(nil, "so far %d", i)))
		}
	}
	must(t, book.DropDraft("pull/bow2"))
	must(t, book.KeepTags(map[string][]byte{"bow0": []byte("tag")}))
	must(t, book.KeepSettings([]byte("first")))
	must(t, book.KeepSettings([]byte("second")))
	must(t, book.Close())
	return readFile(t, path), entries
}

// rescued is the book that is rescued from the content, closed when the test ends; nil where nothing was.
func rescued(t *testing.T, content []byte) (*Book, Rescued) {
	t.Helper()
	from := fileWith(t, content)
	to := filepath.Join(filepath.Dir(from), "new.book")
	done, err := Rescue(from, to, Options{Now: noon})
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(from), ".*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	if !bytes.Equal(readFile(t, from), content) {
		t.Error("the old file was changed")
	}
	if err != nil {
		if !errors.Is(err, ErrForeign) && !errors.Is(err, ErrEmpty) || !strings.HasPrefix(err.Error(), "rescuing "+from) {
			t.Errorf("got %v", err)
		}
		if _, err := os.Stat(to); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("something was left where the new book should be: %v", err)
		}
		return nil, done
	}
	book, err := Open(to, Options{ReadOnly: true})
	must(t, err)
	t.Cleanup(func() { must(t, book.Close()) })
	whole(t, book)
	return book, done
}

// brought are the documents of the entries of a bow by their keys.
func brought(t *testing.T, book *Book, bow string) map[record.Key]string {
	t.Helper()
	items, err := book.Items(bow)
	if err != nil && !errors.Is(err, ErrNoBow) {
		t.Fatal(err)
	}
	docs := make(map[record.Key]string)
	for _, item := range items {
		docs[item.Key] = string(item.Doc)
	}
	return docs
}

func TestAWholeBookIsRescuedAsItIs(t *testing.T) {
	t.Parallel()
	content, entries := shop(t)
	book, done := rescued(t, content)
	if !done.Whole() || done.Bows != 6 || done.Entries != 433 || done.Drafts != 4 || done.Settings != 2 || done.Old != 0 {
		t.Errorf("got %+v", done)
	}
	old := open(t, fileWith(t, content), Options{})
	if old.ID() != book.ID() {
		t.Errorf("got id %s, want %s", book.ID(), old.ID())
	}
	for id, items := range entries {
		if got := brought(t, book, id); len(got) != len(items) {
			t.Errorf("%s: got %d entries, want %d", id, len(got), len(items))
		}
	}
	if _, ok, err := book.Draft("pull/bow2"); ok || err != nil {
		t.Errorf("a draft that was dropped is back: %v", err)
	}
	if doc, _, err := book.Settings(); err != nil || string(doc) != "second" {
		t.Errorf("got settings %q, %v", doc, err)
	}
	again := open(t, book.Path(), Options{})
	must(t, again.KeepSettings([]byte("third")))
	if doc, _, err := again.Settings(); err != nil || string(doc) != "third" {
		t.Errorf("got settings %q, %v", doc, err)
	}
}

// TestWhatIsOnAWholePageIsRescued spoils books in many ways. An entry that still stands in the file, on pages that were
// not touched, must be in the new book under its bow, and none may say anything else than it did.
func TestWhatIsOnAWholePageIsRescued(t *testing.T) {
	if testing.Short() {
		t.Skip("all on one goroutine")
	}
	t.Parallel()
	content, entries := shop(t)
	pages := len(content) / pageSize
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	type spoiling struct {
		name    string
		content []byte
		touched func(page int) bool
	}
	var cases []spoiling
	cut := func(length int) {
		cases = append(cases, spoiling{fmt.Sprintf("cut at %d", length), content[:length], func(page int) bool { return (page+1)*pageSize > length }})
	}
	zero := func(from, to int) {
		spoilt := bytes.Clone(content)
		clear(spoilt[from:to])
		cases = append(cases, spoiling{fmt.Sprintf("zero from %d to %d", from, to), spoilt,
			func(page int) bool { return (page+1)*pageSize > from && page*pageSize < to }})
	}
	zero(0, pageSize)
	zero(pageSize, 2*pageSize)
	zero(0, len(content)/2)
	zero(len(content)/2, len(content))
	for page := 2; page < pages; page += 5 {
		spoilt := bytes.Clone(content)
		spoilt[page*pageSize+12] ^= 16 // It says to run over to the next sixteen.
		cases = append(cases, spoiling{fmt.Sprintf("page %d runs over", page), spoilt, func(p int) bool { return p == page }})
	}
	for range 6 {
		cut(random.IntN(len(content)))
		from := random.IntN(len(content))
		zero(from, from+random.IntN(len(content)-from))
	}
	for n := range 30 {
		spoilt, hit := bytes.Clone(content), make(map[int]bool)
		for range 1 + random.IntN(1+n) {
			at := random.IntN(len(content))
			if random.IntN(2) == 0 {
				at = at&^(pageSize-1) + random.IntN(64) // where bbolt's own numbers are
			}
			spoilt[at] ^= 1 << random.IntN(8)
			hit[at/pageSize] = true
		}
		cases = append(cases, spoiling{fmt.Sprintf("bits flipped on pages %v", hit), spoilt, func(page int) bool { return hit[page] }})
	}
	named := 0
	for _, c := range cases {
		book, done := rescued(t, c.content)
		lost, kept := 0, 0
		untouched := func(doc string) bool {
			for at := range occurrences(content, doc) {
				whole := true
				for page := at / pageSize; page <= (at+len(doc))/pageSize; page++ {
					whole = whole && page < pages && !c.touched(page)
				}
				if whole {
					return true
				}
			}
			return false
		}
		all := make(map[string]bool) // of bows without a name too
		if book != nil {
			must(t, book.Bows(func(desc record.Description) error {
				for _, doc := range brought(t, book, desc.Bow.ID) {
					all[doc] = true
				}
				return nil
			}))
		}
		for id, items := range entries {
			got := map[record.Key]string{}
			if book != nil {
				got = brought(t, book, id)
			}
			for _, item := range items {
				doc, have := got[item.Key]
				switch {
				case have && doc != string(item.Doc):
					t.Errorf("%s: %s, entry %s: got %s", c.name, id, item.Key, doc)
				case have:
					kept++
				case all[string(item.Doc)]:
					named++
				case untouched(string(item.Doc)):
					t.Errorf("%s: %s, entry %s is lost, though its page is whole", c.name, id, item.Key)
				default:
					lost++
				}
			}
		}
		if lost > 0 && done.Whole() && book != nil {
			t.Errorf("%s: %d entries are lost without a word", c.name, lost)
		}
		if book != nil && done.Entries < kept {
			t.Errorf("%s: %d entries are in the book, %d were told of", c.name, kept, done.Entries)
		}
	}
	t.Logf("%d cases; %d entries came out without their bow's name", len(cases), named)
}

// occurrences yields where doc stands in content.
func occurrences(content []byte, doc string) func(yield func(int) bool) {
	return func(yield func(int) bool) {
		for from := 0; ; {
			i := bytes.Index(content[from:], []byte(doc))
			if i < 0 || !yield(from+i) {
				return
			}
			from += i + 1
		}
	}
}

func TestABowThatNoPageNamesIsRescued(t *testing.T) {
	t.Parallel()
	content, entries := shop(t)
	// Each name of the bow but those in its own entries is spoiled: on the pages with the buckets' names, descriptions, tags.
	for page := range len(content) / pageSize {
		part := content[page*pageSize : (page+1)*pageSize]
		if !bytes.Contains(part, []byte("bow0 looked at")) {
			clear(part)
		}
	}
	book, done := rescued(t, content)
	if len(done.Undescribed) != 1 || done.Undescribed[0].Named || done.Undescribed[0].Entries != len(entries["bow0"]) {
		t.Fatalf("got %+v", done)
	}
	if got := brought(t, book, done.Undescribed[0].ID); len(got) != len(entries["bow0"]) || got[keyOf(7)] != string(entries["bow0"][6].Doc) {
		t.Errorf("got %d entries", len(got))
	}
}

func TestRescueRefuses(t *testing.T) {
	t.Parallel()
	path := begin(t, 2)
	folder := filepath.Dir(path)
	taken := filepath.Join(folder, "taken")
	must(t, os.WriteFile(taken, []byte("x"), 0o600))
	newer := bookPath(t)
	book, err := Open(newer, Options{schema: schema{version: 7}})
	must(t, err)
	must(t, book.Close())
	for _, c := range []struct {
		from, to string
		want     error
	}{
		{path, taken, fs.ErrExist}, {path, path, fs.ErrExist}, {newer, filepath.Join(folder, "n"), ErrNewer},
		{filepath.Join(folder, "none"), filepath.Join(folder, "n"), fs.ErrNotExist}, {folder, filepath.Join(folder, "n"), ErrForeign},
		{taken, filepath.Join(folder, "n"), ErrForeign}, {fileWith(t, nil), filepath.Join(folder, "n"), ErrEmpty},
		{foreign(t, "shop", "head", bbolt.Options{}), filepath.Join(folder, "n"), ErrForeign},
	} {
		if _, err := Rescue(c.from, c.to, Options{}); !errors.Is(err, c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s to %s: got %v", c.from, c.to, err)
		}
	}
	if found, _ := filepath.Glob(filepath.Join(folder, "*")); len(found) != 2 || string(readFile(t, taken)) != "x" {
		t.Errorf("left behind: %v", found)
	}
	held := start(t, path, 0)
	if _, err := Rescue(path, filepath.Join(folder, "n"), Options{}); !errors.Is(err, ErrBusy) {
		t.Errorf("got %v", err)
	}
	held.end()
}

// TestRescueComesToAnEnd feeds Rescue what a book is not.
func TestRescueComesToAnEnd(t *testing.T) {
	t.Parallel()
	content, _ := shop(t)
	rapid.Check(t, func(rt *rapid.T) {
		spoilt := bytes.Clone(content)
		for range rapid.IntRange(1, 40).Draw(rt, "blocks") {
			at := rapid.IntRange(0, len(spoilt)-1).Draw(rt, "at")
			block := rapid.SliceOfN(rapid.Byte(), 1, 64).Draw(rt, "block")
			if rapid.Bool().Draw(rt, "at a page's head") {
				at = at &^ (pageSize - 1)
			}
			copy(spoilt[at:], block)
		}
		s := search(bytes.NewReader(spoilt), int64(len(spoilt)))
		for in, keys := range s.found {
			for key, at := range keys {
				value := spoilt[at.at : at.at+at.size]
				if err := sealed(mark(layoutVersion, in.sort, in.bow), []byte(key), value); err != nil && !s.nameless[in.bow] {
					rt.Errorf("%s %x: %v", in, key, err)
				}
			}
		}
	})
}

func TestAMarkIsFoundFromItsValues(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		at := place{rapid.String().Draw(t, "sort"), rapid.String().Draw(t, "bow"), rapid.SliceOf(rapid.Byte()).Draw(t, "key")}
		value := seal(at, rapid.SliceOf(rapid.Byte()).Draw(t, "field"))
		if got, ok := markOf(at.key, value); !ok || got != mark(layoutVersion, at.sort, at.bow) {
			t.Errorf("got %x, %t", got, ok)
		}
		value[rapid.IntRange(1, len(value)-1).Draw(t, "byte")] ^= 1 << rapid.IntRange(0, 7).Draw(t, "bit")
		if got, _ := markOf(at.key, value); got == mark(layoutVersion, at.sort, at.bow) {
			t.Error("a damaged value has the same mark")
		}
	})
}
