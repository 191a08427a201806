package storage

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bendbook/model/record"
)

var (
	sweepCases = flag.Int("sweep", 600, "in how many ways a book is spoilt, spread evenly over its bytes")
	faultSeed  = flag.Uint64("seed", 0, "seed of what is spoilt and of when the disk fails; 0 takes one from the clock")
)

func seed(t *testing.T) uint64 {
	t.Helper()
	s := *faultSeed
	if s == 0 {
		s = uint64(time.Now().UnixNano())
	}
	t.Logf("seed %d", s)
	return s
}

// TestASpoiltBookSaysSoOrTellsTheTruth flips, clears, overwrites, moves or cuts off every region of a book in turn. Either
// it is refused, or Check names what is wrong; what is read all the same is what was written, or an error. There is no
// panic, no fault and no endless walk; go test's own timeout ends one.
func TestASpoiltBookSaysSoOrTellsTheTruth(t *testing.T) {
	t.Parallel()
	content, want := sweptBook(t)
	places := itemPlaces(t, content, want)
	s := seed(t)
	cases := *sweepCases
	if testing.Short() {
		cases /= 10
	}
	const workers = 2
	tallies := make([]map[string]int, workers)
	var working sync.WaitGroup
	for w := range workers {
		tallies[w] = make(map[string]int)
		path := fileWith(t, content)
		working.Go(func() {
			for n := w; n < cases; n += workers {
				// Each case has its own stretch of the book and its own chance, whatever the others do.
				r := rand.New(rand.NewPCG(s, uint64(n)))
				at := int((float64(n) + r.Float64()) / float64(cases) * float64(len(content)))
				spoilt, how := spoil(bytes.Clone(content), at, n, r)
				outcome := sweepOne(t, path, spoilt, content, want, n/len(spoilings)%2 == 0)
				if n%rescuesOf == 0 {
					saved := rescueOne(t, path, spoilt, content, places)
					if strings.HasPrefix(saved, "WRONG") {
						t.Errorf("case %d: %s at byte %d of page %d, rescued: %s", n, how, at%pageSize, at/pageSize, saved)
					}
					saved, _, _ = strings.Cut(saved, ":")
					tallies[w]["rescue, "+saved]++
				}
				if strings.HasPrefix(outcome, "WRONG") {
					t.Errorf("case %d: %s at byte %d of page %d: %s", n, how, at%pageSize, at/pageSize, outcome)
				}
				outcome, _, _ = strings.Cut(outcome, ":")
				tallies[w][how+", "+outcome]++
			}
		})
	}
	working.Wait()
	total := make(map[string]int)
	for _, tally := range tallies {
		for what, n := range tally {
			total[what] += n
		}
	}
	for _, what := range slices.Sorted(maps.Keys(total)) {
		t.Logf("%s: %d", what, total[what])
	}
}

// sweptBook is a small book that has pages of every sort, and what it tells.
func sweptBook(t *testing.T) (content []byte, want map[string]any) {
	t.Helper()
	path := bookPath(t)
	book := open(t, path, Options{})
	for i, entries := range []int{90, 0, 7, 1} {
		// No key is there twice, as none is in a shop: it tells entries from copies of them where their bow's name is lost.
		rec := bow(t, fmt.Sprintf("b%d", i), 0)
		rec.Items = pulls(t, 10_000*i, entries)
		must(t, book.AddBow(rec, ""))
	}
	long := bow(t, "long", 0)
	long.Items = pulls(t, 40_000, 1)
	long.Items[0].Doc = fmt.Appendf(nil, `{"kind":"note","text":%q}`, strings.Repeat("x", 9000))
	must(t, book.AddBow(long, ""))
	for n := range 3 {
		must(t, book.KeepSettings(fmt.Appendf(nil, `{"mark":%d}`, n)))
		must(t, book.SaveDraft("d", fmt.Appendf(nil, `{"draw":"%d"}`, n)))
	}
	must(t, book.KeepTags(map[string][]byte{"b0": []byte("tag 0"), "b2": []byte("tag 2")}))
	must(t, book.AddItems("b2", pulls(t, 20_007, 1), ""))
	want = told(book)
	for what, one := range want {
		if err, failed := one.(error); failed {
			t.Fatalf("%s: %v", what, err)
		}
	}
	must(t, book.Close())
	content = readFile(t, path)
	m, err := metasOf(fileWithSize{fileOf(content)})
	must(t, err)
	return content[:m.length()], want
}

// fileWithSize is content as a file that knows its length.
type fileWithSize struct{ fileOf }

func (f fileWithSize) Stat() (os.FileInfo, error) { return sizeOnly{size: int64(len(f.fileOf))}, nil }

type sizeOnly struct {
	os.FileInfo
	size int64
}

func (s sizeOnly) Size() int64 { return s.size }

// spoilings are the ways in which a stretch of a book is spoilt, from the byte at.
var spoilings = []struct {
	how string
	do  func(book []byte, at int, r *rand.Rand) []byte
}{
	{"a bit flipped", func(book []byte, at int, r *rand.Rand) []byte {
		book[at] ^= 1 << r.IntN(8)
		return book
	}},
	{"a bit of a page's head flipped", func(book []byte, at int, r *rand.Rand) []byte {
		book[at&^(pageSize-1)+r.IntN(96)] ^= 1 << r.IntN(8)
		return book
	}},
	{"a stretch cleared", func(book []byte, at int, r *rand.Rand) []byte {
		clear(stretch(book, at, r))
		return book
	}},
	{"a stretch of ones", func(book []byte, at int, r *rand.Rand) []byte {
		for i := range stretch(book, at, r) {
			book[at+i] = 0xFF
		}
		return book
	}},
	{"a stretch of noise", func(book []byte, at int, r *rand.Rand) []byte {
		for i := range stretch(book, at, r) {
			book[at+i] = byte(r.Uint32())
		}
		return book
	}},
	{"a number changed", func(book []byte, at int, r *rand.Rand) []byte {
		at &^= 3
		book[at] += byte(1 + r.IntN(255))
		return book
	}},
	{"a sector moved", func(book []byte, at int, r *rand.Rand) []byte {
		const sector = 512
		from := r.IntN(len(book)/sector) * sector
		copy(book[at&^(sector-1):][:sector], bytes.Clone(book[from:from+sector]))
		return book
	}},
	{"a page moved", func(book []byte, at int, r *rand.Rand) []byte {
		from := r.IntN(len(book)/pageSize) * pageSize
		copy(book[at&^(pageSize-1):][:pageSize], bytes.Clone(book[from:from+pageSize]))
		return book
	}},
	{"cut off", func(book []byte, at int, _ *rand.Rand) []byte { return book[:at] }},
	{"cut off at a page", func(book []byte, at int, _ *rand.Rand) []byte { return book[:at&^(pageSize-1)] }},
	{"the rest cleared", func(book []byte, at int, _ *rand.Rand) []byte {
		clear(book[at:])
		return book
	}},
	{"bytes lost", func(book []byte, at int, r *rand.Rand) []byte {
		return slices.Delete(book, at, min(len(book), at+1+r.IntN(8)))
	}},
	{"bytes put in", func(book []byte, at int, r *rand.Rand) []byte {
		return slices.Insert(book, at, make([]byte, 1+r.IntN(8))...)
	}},
}

func spoil(book []byte, at, n int, r *rand.Rand) (spoilt []byte, how string) {
	s := spoilings[n%len(spoilings)]
	return s.do(book, at, r), s.how
}

// stretch is a part of the book, from a single byte to some pages, more often a short one.
func stretch(book []byte, at int, r *rand.Rand) []byte {
	return book[at:min(len(book), at+1+r.IntN(1<<r.IntN(14)))]
}

// rescuesOf: one in so many spoilt books is rescued too, which takes longer. It shares no factor with the number of ways to spoil one.
const rescuesOf = 5

// itemPlace is an entry of the swept book, and which of its pages hold it.
type itemPlace struct {
	item  record.Item
	spans [][2]int // bytes of whole pages, of which one is enough
}

// itemPlaces finds every entry in the book's bytes.
func itemPlaces(t *testing.T, content []byte, want map[string]any) []itemPlace {
	t.Helper()
	// over is from the beginning of each run of pages to its end.
	over := make(map[int][2]int)
	for page := 0; page < len(content)/pageSize; {
		pages := 1
		if flags := content[page*pageSize+8]; flags == leafFlag || flags == branchFlag || flags == freelistFlag {
			pages += int(content[page*pageSize+12])
		}
		for p := page; p < page+pages; p++ {
			over[p] = [2]int{page * pageSize, (page + pages) * pageSize}
		}
		page += pages
	}
	var places []itemPlace
	for what, value := range want {
		id, isEntries := strings.CutPrefix(what, "entries of ")
		if !isEntries {
			continue
		}
		for _, item := range value.([]record.Item) {
			place := itemPlace{item: item}
			sealed := sealItem(id, item)
			for at := 0; ; at++ {
				found := bytes.Index(content[at:], sealed)
				if found < 0 {
					break
				}
				at += found
				place.spans = append(place.spans, over[at/pageSize])
			}
			if len(place.spans) == 0 {
				t.Fatalf("entry %s of %s is nowhere in the book", item.Key, id)
			}
			places = append(places, place)
		}
	}
	return places
}

// rescueOne rescues a spoilt book, in which every entry that stands on a page which was not touched must be found.
func rescueOne(t *testing.T, path string, spoilt, content []byte, places []itemPlace) string {
	to := path + ".rescued"
	must(t, os.WriteFile(path, spoilt, 0o600))
	must(t, os.RemoveAll(to))
	wanted := make(map[string]int)
	for _, place := range places {
		for _, span := range place.spans {
			if span[1] <= len(spoilt) && bytes.Equal(spoilt[span[0]:span[1]], content[span[0]:span[1]]) {
				wanted[place.item.Key.String()+string(place.item.Doc)]++
				break
			}
		}
	}
	done, err := Rescue(path, to, Options{Now: noon})
	if !bytes.Equal(readFile(t, path), spoilt) {
		return "WRONG: the old book was changed"
	}
	if err != nil {
		if len(wanted) > 0 {
			return fmt.Sprintf("WRONG: %d entries are on whole pages, but %v", len(wanted), err)
		}
		return "nothing whole"
	}
	book, err := Open(to, Options{ReadOnly: true, Now: noon})
	if err != nil {
		return fmt.Sprintf("WRONG: %v", err)
	}
	defer func() { must(t, book.Close()) }()
	if faults := book.Check(); len(faults) > 0 {
		return fmt.Sprintf("WRONG: %v", faults[0])
	}
	if err := book.Bows(func(desc record.Description) error {
		items, err := book.Items(desc.Bow.ID)
		for _, item := range items {
			known := item.Key.String() + string(item.Doc)
			if !slices.ContainsFunc(places, func(p itemPlace) bool { return p.item.Key == item.Key && bytes.Equal(p.item.Doc, item.Doc) }) {
				return fmt.Errorf("entry %s was never written", item.Key)
			}
			wanted[known]--
		}
		return err
	}); err != nil {
		return fmt.Sprintf("WRONG: %v", err)
	}
	for known, n := range wanted {
		if n > 0 {
			return fmt.Sprintf("WRONG: an entry on a whole page is missing: %s", brief(known))
		}
	}
	if done.Whole() && done.Entries < len(places) {
		return fmt.Sprintf("WRONG: %d entries of %d, without a word", done.Entries, len(places))
	}
	if done.Entries == len(places) {
		return "all entries"
	}
	return "entries on whole pages"
}

// sweepOne opens a spoilt book and says what came of it; "WRONG" where it told something that was never written.
func sweepOne(t *testing.T, path string, spoilt, content []byte, want map[string]any, readOnly bool) string {
	must(t, os.WriteFile(path, spoilt, 0o600))
	book, err := Open(path, Options{ReadOnly: readOnly, Now: noon})
	switch {
	case err != nil && !bytes.Equal(readFile(t, path), spoilt):
		return "WRONG: refused, but the file was changed"
	case errors.Is(err, ErrDamaged), errors.Is(err, ErrForeign), errors.Is(err, ErrEmpty), errors.Is(err, ErrNewer):
		return "refused"
	case err != nil:
		return fmt.Sprintf("WRONG: refused for another reason: %v", err)
	}
	defer func() { must(t, book.Close()) }()
	book.db.NoSync, book.db.NoGrowSync = true, true // no power is cut here, and a disk's sync takes longer than all else
	faults, got := book.Check(), told(book)
	same := true
	for what, one := range want {
		_, failed := got[what].(error)
		if !reflect.DeepEqual(got[what], one) {
			same = false
			if !failed && len(faults) == 0 {
				return fmt.Sprintf("WRONG: %s is %s without a word", what, brief(got[what]))
			}
		}
	}
	switch {
	case len(faults) > 0:
		return "named"
	case !same || len(got) != len(want):
		return fmt.Sprintf("WRONG: Check finds nothing, but the book tells %d things of %d", len(got), len(want))
	case readOnly || bytes.Equal(spoilt, content):
		return "of no effect"
	}
	// Nor does it come out when the book is written to.
	return writeOn(t, book, want)
}

// writeOn adds to a book in which nothing was found, until all of its free pages were in use once, and looks again.
func writeOn(t *testing.T, book *Book, want map[string]any) string {
	for n := range 4 {
		if err := book.AddItems("b3", pulls(t, 50_000+n, 1), ""); err != nil {
			return fmt.Sprintf("WRONG: it cannot be written: %v", err)
		}
	}
	if err := book.KeepSettings([]byte("new")); err != nil {
		return fmt.Sprintf("WRONG: settings cannot be kept: %v", err)
	}
	got := told(book)
	if doc, _ := got["settings"].([]byte); string(doc) != "new" {
		return fmt.Sprintf("WRONG: new settings are %s", brief(got["settings"]))
	}
	if items, _ := got["entries of b3"].([]record.Item); len(items) != 5 {
		return fmt.Sprintf("WRONG: of 5 entries there are %s", brief(got["entries of b3"]))
	}
	for what := range want {
		if what != "settings" && what != "entries of b3" && !reflect.DeepEqual(got[what], want[what]) {
			return fmt.Sprintf("WRONG: after writing, %s is %s", what, brief(got[what]))
		}
	}
	if faults := book.Check(); len(faults) > 0 {
		return fmt.Sprintf("WRONG: after writing, %v", faults[0])
	}
	return "of no effect"
}

// told is all that a book tells, by what it is; an error where it cannot be read. Tags are left out, as they are made
// anew where they are missing.
func told(book *Book) map[string]any {
	all := make(map[string]any)
	put := func(what string, value any, err error) {
		if err != nil {
			value = err
		}
		all[what] = value
	}
	err := book.Bows(func(desc record.Description) error {
		put("bow "+desc.Bow.ID, desc, nil)
		items, err := book.Items(desc.Bow.ID)
		put("entries of "+desc.Bow.ID, items, err)
		return nil
	})
	put("bows", "all", err)
	keys, err := book.Drafts()
	put("drafts", keys, err)
	for _, key := range keys {
		doc, _, err := book.Draft(key)
		put("draft "+key, doc, err)
	}
	doc, _, err := book.Settings()
	put("settings", doc, err)
	return all
}

func brief(value any) string {
	text := fmt.Sprintf("%v", value)
	return text[:min(len(text), 200)]
}
