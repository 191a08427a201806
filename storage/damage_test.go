package storage

import (
	"bytes"
	"encoding/binary"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"bendbook/model/record"
)

var (
	sweep    = flag.Int("sweep", 60, "how many damaged files are tried")
	fromSeed = flag.Uint64("seed", 0, "seed of what is damaged and of when the disk fails; 0 takes one from the clock")
)

// seed is another one at each run, unless it is given, and printed.
func seed(t *testing.T) uint64 {
	t.Helper()
	s := *fromSeed
	if s == 0 {
		s = uint64(time.Now().UnixNano())
	}
	t.Logf("seed %d", s)
	return s
}

// sample is a book of many bows with its journal, as files.
type sample struct {
	book, journal []byte
	records       map[string]record.Record
	texts         map[place][]byte // of each line
}

func makeSample(t *testing.T) sample {
	t.Helper()
	path := bookPath(t)
	book := opened(t, path, Options{Now: noon})
	s := sample{records: make(map[string]record.Record), texts: make(map[place][]byte)}
	for i := range 30 {
		rec := bow(t, fmt.Sprintf("bow-%02d", i), 12)
		if i == 7 {
			rec.Items = pulls(t, 0, 600)
		}
		must(t, book.AddBow(rec, ""))
		if i%3 == 0 {
			more := pulls(t, 1000, 1)
			must(t, book.AddItems(rec.Bow.ID, more, ""))
			rec.Items = append(rec.Items, more...)
		}
		s.records[rec.Bow.ID] = rec
		must(t, book.SaveDraft("pull", fmt.Appendf(nil, "{%d}", i)))
	}
	must(t, book.KeepSettings([]byte(`{"mark":1}`)))
	must(t, book.KeepRows(map[string][]byte{"bow-01": []byte(`{"name":"Ash"}`)}))
	must(t, book.Close())
	s.book, s.journal = readFile(t, path), readFile(t, journalPath(path))
	eachSealed(s.journal, func(at place, text []byte) { s.texts[at] = text })
	return s
}

// damage spoils bytes in one of the ways that disks and people have.
func damage(r *rand.Rand, content []byte) []byte {
	const sector = 512
	content = bytes.Clone(content)
	at := r.IntN(len(content))
	if r.IntN(2) == 0 { // where a page says what is on it
		at = min(at/pageSize*pageSize+r.IntN(200), len(content)-1)
	}
	of := func() int { return r.IntN((len(content)+sector-1)/sector) * sector }
	switch r.IntN(5) {
	case 0:
		content[at] ^= 1 << r.IntN(8)
	case 1:
		content[at] = byte(r.IntN(256))
	case 2:
		from := of()
		clear(content[from:min(len(content), from+sector)])
	case 3:
		from, to := of(), of()
		copy(content[to:min(len(content), to+sector)], content[from:])
	case 4:
		content = content[:at]
	}
	return content
}

// TestDamageNeverShowsWrongValues damages the book, the journal or both. What opens shows what was saved or
// an error; a damaged journal is mended; and rescue brings back every entry that is whole in either.
func TestDamageNeverShowsWrongValues(t *testing.T) {
	t.Parallel()
	s := makeSample(t)
	r := rand.New(rand.NewPCG(seed(t), 1))
	folder := t.TempDir()
	opened := 0
	for n := range *sweep {
		hit := [][2]bool{{true, false}, {false, true}, {true, true}}[n%3]
		now := s
		if hit[0] {
			now.book = damage(r, s.book)
		}
		if hit[1] {
			now.journal = damage(r, s.journal)
		}
		path := filepath.Join(folder, fmt.Sprint(n), "ash.book")
		must(t, os.MkdirAll(filepath.Dir(path), 0o700))
		must(t, os.WriteFile(path, now.book, 0o600))
		must(t, os.WriteFile(journalPath(path), now.journal, 0o600))
		if _, err := Check(path); err != nil && len(now.book) > 0 && !errors.Is(err, errForeign) {
			t.Errorf("file %d: check: %v", n, err)
		}
		if view, err := Open(path, Options{ReadOnly: true}); err == nil {
			s.shows(t, view, nil)
			must(t, view.Close())
		}
		s.rescued(t, path, now, hit != [2]bool{true, true})
		book, err := Open(path, Options{Now: noon})
		if err == nil {
			opened++
			s.shows(t, book, func(id string, err error) { t.Errorf("file %d: bow %s: %v", n, id, err) })
			must(t, book.Close())
			whole(t, path)
		} else if !hit[0] || !bytes.Equal(readFile(t, path), now.book) {
			t.Errorf("file %d: %v", n, err)
		}
		if t.Failed() {
			t.Fatalf("file %d, damaged: book %v, journal %v", n, hit[0], hit[1])
		}
		must(t, os.RemoveAll(filepath.Dir(path)))
	}
	t.Logf("%d damaged, %d opened", *sweep, opened)
}

// shows fails the test where a book shows anything but what was saved. missing is called for what it can't
// show.
func (s sample) shows(t *testing.T, book *Book, missing func(id string, err error)) {
	t.Helper()
	for id, rec := range s.records {
		shown, ok, err := book.Bow(id)
		switch {
		case err != nil || !ok:
			if missing != nil {
				missing(id, err)
			}
		case !reflect.DeepEqual(shown, rec):
			t.Errorf("bow %s is another one now", id)
		}
	}
	if doc, ok, err := book.Settings(); err == nil && ok && string(doc) != `{"mark":1}` {
		t.Errorf("settings are %s", doc)
	}
}

// rescued rescues a book, and fails the test where not all comes that is whole in either file.
func (s sample) rescued(t *testing.T, path string, now sample, all bool) {
	t.Helper()
	to := path + ".new"
	if _, err := Rescue(path, to, Options{Now: noon}); err != nil {
		if len(now.book) > 0 || len(now.journal) > 0 {
			t.Errorf("rescue: %v", err)
		}
		return
	}
	book := opened(t, to, Options{Now: noon})
	defer func() { must(t, book.Close()) }()
	for id, rec := range s.records {
		want := make(map[record.Key]record.Item)
		for _, item := range rec.Items {
			text := s.texts[place{id, item.Key.String()}]
			if all || bytes.Contains(now.journal, text) || bytes.Contains(now.book, text) {
				want[item.Key] = item
			}
		}
		there, ok, err := book.Bow(id)
		if len(want) > 0 && (err != nil || !ok) {
			t.Errorf("rescued bow %s: %v", id, err)
		}
		for _, item := range there.Items {
			if w, ok := want[item.Key]; !ok || !bytes.Equal(w.Doc, item.Doc) {
				t.Errorf("rescued bow %s, entry %s: not as it was", id, item.Key)
			}
			delete(want, item.Key)
		}
		if len(want) > 0 {
			t.Errorf("rescued bow %s: %d entries are missing", id, len(want))
		}
		text := s.texts[place{id, ""}]
		described := all || bytes.Contains(now.journal, text) || bytes.Contains(now.book, text)
		if described && (!ok || !reflect.DeepEqual(there.Description, rec.Description)) {
			t.Errorf("rescued bow %s: its description is missing", id)
		}
	}
}

// A page that leads back to one above it would keep bbolt busy until memory runs out.
func TestAPageThatLeadsBackIsRefused(t *testing.T) {
	path := begun(t, 500)
	content, loops := readFile(t, path), 0
	for id := 2; id*pageSize < len(content); id++ {
		page := bytes.Clone(content)
		const isBranch = 1
		at := page[id*pageSize:]
		if binary.LittleEndian.Uint16(at[8:]) != isBranch || binary.LittleEndian.Uint64(at) != uint64(id) {
			continue
		}
		loops++
		binary.LittleEndian.PutUint64(at[16+8:], uint64(id)) // the first page below it
		looped := filepath.Join(t.TempDir(), "looped.book")
		must(t, os.WriteFile(looped, page, 0o600))
		if _, err := Open(looped, Options{}); !errors.Is(err, errDamaged) {
			t.Errorf("page %d leads to itself: %v", id, err)
		}
	}
	if loops == 0 {
		t.Error("the book has no branch page")
	}
}
