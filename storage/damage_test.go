package storage

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

// refused fails the test unless the file is refused in one line that names it, for reading and for writing, and stays
// as it was.
func refused(t *testing.T, path string, want error) {
	t.Helper()
	before := readFile(t, path)
	for _, opts := range []Options{{}, {ReadOnly: true}, {Ahead: true}} {
		book, err := Open(path, opts)
		if err == nil && opts.Ahead {
			err = ahead(t, book)
		}
		if err == nil {
			_ = book.Close()
		}
		if !errors.Is(err, want) {
			t.Errorf("%s: got %v, want %v", path, err, want)
			continue
		}
		if line := err.Error(); strings.Contains(line, "\n") || !strings.Contains(line, path) || !strings.Contains(line, "; ") {
			t.Errorf("%s: got %q", path, line)
		}
	}
	if !bytes.Equal(readFile(t, path), before) {
		t.Errorf("%s: the file was changed", path)
	}
	if left, err := os.ReadDir(filepath.Dir(path)); err != nil || len(left) != 1 {
		t.Errorf("%s: beside it there is left %v, %v", path, left, err)
	}
}

// ahead is what is found wrong with a book after it was handed out. It fails the test where anything can be written to such a book, or
// entries can be read.
func ahead(t *testing.T, book *Book) error {
	t.Helper()
	write := book.SaveDraft("d", []byte("typed"))
	read := second(book.Items("b1"))
	flaw := book.Whole()
	if flaw == nil {
		return nil
	}
	if !errors.Is(write, flaw) || !errors.Is(read, flaw) {
		t.Errorf("%v, and yet writing ended with %v, reading with %v", flaw, write, read)
	}
	must(t, book.Close())
	return flaw
}

func fileWith(t *testing.T, content []byte) (path string) {
	t.Helper()
	path = bookPath(t)
	must(t, os.WriteFile(path, content, 0o600))
	return path
}

// foreign is another program's bbolt file.
func foreign(t *testing.T, bucket, key string, options bbolt.Options) (path string) {
	t.Helper()
	path = bookPath(t)
	db, err := bbolt.Open(path, 0o600, &options)
	must(t, err)
	must(t, db.Update(func(tx *bbolt.Tx) error {
		b, err := tx.CreateBucket([]byte(bucket))
		if err != nil {
			return err
		}
		return b.Put([]byte(key), []byte("something"))
	}))
	must(t, db.Close())
	return path
}

func TestWhatIsNoBookIsRefusedUntouched(t *testing.T) {
	t.Parallel()
	refused(t, fileWith(t, nil), ErrEmpty)
	noise := make([]byte, 1<<16)
	for i := range noise {
		noise[i] = byte(i * i >> 3)
	}
	for _, content := range [][]byte{
		[]byte("a"), []byte("Dear Anna,\nthe ash stave\n"), []byte(`{"format":"bendbook/record","version":1}`), noise,
		bytes.Repeat([]byte{0}, 1<<15), bytes.Repeat([]byte{0xFF}, 100),
	} {
		refused(t, fileWith(t, content), ErrForeign)
	}
	refused(t, foreign(t, "shop", "head", bbolt.Options{}), ErrForeign)
	refused(t, foreign(t, sortBook, "key", bbolt.Options{}), ErrForeign)
	refused(t, foreign(t, sortBook, "head", bbolt.Options{}), ErrDamaged)
	refused(t, foreign(t, "shop", "head", bbolt.Options{NoFreelistSync: true}), ErrForeign)
	refused(t, foreign(t, "shop", "head", bbolt.Options{PageSize: 16384}), ErrForeign)
}

func TestANewerBookIsRefusedUntouched(t *testing.T) {
	t.Parallel()
	path := bookPath(t)
	book, err := Open(path, Options{schema: schema{version: 7}})
	must(t, err)
	must(t, book.Close())
	refused(t, path, ErrNewer)
	if _, err := Open(path, Options{}); !strings.Contains(err.Error(), "newer Bendbook (the book's version is 7, this one knows up to 1); open it with that version") {
		t.Errorf("got %q", err)
	}
}

func TestATruncatedBookIsRefusedUntouched(t *testing.T) {
	t.Parallel()
	whole := readFile(t, begin(t, 300))
	m, err := readMetas(fileOf(whole), int64(len(whole)))
	must(t, err)
	for _, length := range []int64{1, 15, 16, 79} {
		refused(t, fileWith(t, whole[:length]), ErrForeign)
	}
	for length := int64(80); length < m.length(); length += 1711 {
		refused(t, fileWith(t, whole[:length]), ErrDamaged)
	}
	for _, length := range []int64{4095, 4096, 4097, 8191, 8192, m.length() - 1} {
		refused(t, fileWith(t, whole[:length]), ErrDamaged)
	}
	open(t, fileWith(t, whole[:m.length()]), Options{})
}

func TestABookWithoutItsHeadPagesIsRefusedUntouched(t *testing.T) {
	t.Parallel()
	for _, spoil := range []func(book []byte){
		func(book []byte) { book[40]++; book[pageSize+40]++ },
		func(book []byte) { clear(book[:pageSize]); book[pageSize+40]++ },
	} {
		book := readFile(t, begin(t, 3))
		spoil(book)
		refused(t, fileWith(t, book), ErrDamaged)
	}
	book := readFile(t, begin(t, 3))
	clear(book[:2*pageSize])
	refused(t, fileWith(t, book), ErrForeign)
}

func TestAFlippedBitInAnEntryIsFound(t *testing.T) {
	t.Parallel()
	path := begin(t, 30)
	book := open(t, path, Options{})
	must(t, book.AddBow(bow(t, "b2", 5), ""))
	must(t, book.Close())
	content := readFile(t, path)
	at := bytes.LastIndex(content, pull(t, 17).Doc)
	content[at+20] ^= 4
	damaged := fileWith(t, content)

	view, err := Open(damaged, Options{ReadOnly: true})
	must(t, err)
	defer func() { must(t, view.Close()) }()
	items, err := view.Items("b1")
	if len(items) > 0 || !errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), "bow b1, entry "+keyOf(17).String()) {
		t.Errorf("got %d entries, %v", len(items), err)
	}
	if items, err := view.Items("b2"); err != nil || len(items) != 5 {
		t.Errorf("the other bow: got %d entries, %v", len(items), err)
	}
	faults := view.Check()
	if len(faults) != 1 || faults[0].Bow != "b1" || faults[0].Entry != keyOf(17).String() || !errors.Is(faults[0].Err, ErrDamaged) {
		t.Errorf("got %v", faults)
	}
}

func TestADamagedBowDoesNotHideTheOthers(t *testing.T) {
	t.Parallel()
	path := begin(t, 1)
	book := open(t, path, Options{})
	must(t, book.AddBow(bow(t, "b2", 5), ""))
	must(t, book.Close())
	content := readFile(t, path)
	content[bytes.LastIndex(content, []byte(`{"id":"b1"`))+20] ^= 4
	damaged := fileWith(t, content)

	view, err := Open(damaged, Options{ReadOnly: true})
	must(t, err)
	defer func() { must(t, view.Close()) }()
	var found []string
	err = view.Bows(func(desc record.Description) error { found = append(found, desc.Bow.ID); return nil })
	if !errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), "bow b1") || !reflect.DeepEqual(found, []string{"b2"}) {
		t.Errorf("got %v, %v", found, err)
	}
}

func TestAValueInAnothersPlaceIsFound(t *testing.T) {
	t.Parallel()
	doc := []byte(`{"kind":"note"}`)
	at := place{sortEntries, "b1", []byte("key")}
	value := seal(at, []byte("id"), doc)
	for _, other := range []place{
		{sortEntries, "b2", at.key}, {sortEntries, "b1", []byte("kex")}, {sortDrafts, "b1", at.key}, {sortEntries, "b1k", []byte("ey")},
	} {
		if _, err := unseal(other, value); !errors.Is(err, ErrDamaged) {
			t.Errorf("at %v: got %v", other, err)
		}
	}
	for i := range value {
		for bit := range 8 {
			flipped := bytes.Clone(value)
			flipped[i] ^= 1 << bit
			if _, err := unseal(at, flipped); !errors.Is(err, ErrDamaged) {
				t.Errorf("bit %d of byte %d: got %v", bit, i, err)
			}
		}
		if _, err := unseal(at, value[:i]); !errors.Is(err, ErrDamaged) {
			t.Errorf("cut after %d bytes: got %v", i, err)
		}
	}
	fields, err := unseal(at, value)
	if err != nil || !reflect.DeepEqual(fields, [][]byte{[]byte("id"), doc}) {
		t.Errorf("got %q, %v", fields, err)
	}
}

// A damaged head page makes bbolt go on from the one before: nothing else shows that the last entry is missing.
func TestADamagedHeadPageIsNamed(t *testing.T) {
	t.Parallel()
	path := begin(t, 3)
	book := open(t, path, Options{})
	must(t, book.AddItems("b1", pulls(t, 3, 1), ""))
	must(t, book.Close())
	whole := readFile(t, path)
	for page := range 3 {
		content := bytes.Clone(whole)
		if page < 2 {
			content[page*pageSize+50] ^= 4
		} else { // the older one in the place of the newer
			older, newer := content[:pageSize], content[pageSize:2*pageSize]
			first, err := parseMeta(older)
			must(t, err)
			second, err := parseMeta(newer)
			must(t, err)
			if first.tx > second.tx {
				older, newer = newer, older
			}
			copy(newer, older)
		}
		path := fileWith(t, content)
		if _, err := Open(path, Options{}); !errors.Is(err, errOneHead) {
			t.Errorf("page %d: opening it for writing gives %v", page, err)
		}
		view, err := Open(path, Options{ReadOnly: true})
		must(t, err)
		if !strings.Contains(view.ReadOnly(), "; a part of it is damaged (bendbook check tells which); shown as of ") {
			t.Errorf("page %d: it is read-only for %q", page, view.ReadOnly())
		}
		if faults := view.Check(); len(faults) != 1 || !strings.Contains(faults[0].String(), "it is damaged: one of its two head pages; what was saved last may be missing") {
			t.Errorf("page %d: got %v", page, faults)
		}
		must(t, view.Close())
	}
}

// The first byte of a value says how it is laid out, and is as much of it as the others.
func TestAFlippedLayoutIsDamage(t *testing.T) {
	t.Parallel()
	content := readFile(t, begin(t, 30))
	content[bytes.LastIndex(content, sealItem("b1", pull(t, 17)))] ^= 0x40
	path := fileWith(t, content)
	if _, err := Open(path, Options{}); !errors.Is(err, ErrDamaged) {
		t.Errorf("opening it for writing gives %v", err)
	}
	view, err := Open(path, Options{ReadOnly: true})
	must(t, err)
	defer func() { must(t, view.Close()) }()
	if faults := view.Check(); len(faults) != 1 || faults[0].Entry != keyOf(17).String() {
		t.Errorf("got %v", faults)
	}
	done, err := Rescue(path, path+".rescued", Options{Now: noon})
	if err != nil || done.Entries+len(done.Lost) != 30 {
		t.Errorf("rescued %+v, %v", done, err)
	}
}

// A part whose name is damaged is not taken for one that was never begun.
func TestAPartUnderAnotherNameIsNamed(t *testing.T) {
	t.Parallel()
	path := begin(t, 3)
	book := open(t, path, Options{})
	must(t, book.KeepSettings([]byte("{}")))
	must(t, book.Close())
	content := readFile(t, path)
	for at := 0; ; {
		found := bytes.Index(content[at:], []byte(sortSettings))
		if found < 0 {
			break
		}
		at += found + len(sortSettings)
		content[at-1] = 't'
	}
	view, err := Open(fileWith(t, content), Options{ReadOnly: true})
	must(t, err)
	defer func() { must(t, view.Close()) }()
	if faults := view.Check(); len(faults) != 1 || !errors.Is(faults[0].Err, ErrDamaged) || !strings.Contains(faults[0].String(), `it has a part "settingt"`) {
		t.Errorf("got %v", faults)
	}
}

// The number that bbolt counts a part's entries by has no checksum, so that new settings must not depend upon it.
func TestSettingsCountWhateverTheCounterSays(t *testing.T) {
	t.Parallel()
	book := open(t, bookPath(t), Options{})
	for n := range 3 {
		must(t, book.KeepSettings(fmt.Appendf(nil, "%d", n)))
	}
	must(t, book.update("setting back", func(tx *bbolt.Tx) error { return tx.Bucket([]byte(sortSettings)).SetSequence(0) }))
	must(t, book.KeepSettings([]byte("last")))
	if doc, ok, err := book.Settings(); string(doc) != "last" || !ok || err != nil {
		t.Errorf("got %q, %v, %v", doc, ok, err)
	}
}

func TestPagesInACircleAreRefused(t *testing.T) {
	t.Parallel()
	path := begin(t, 2000)
	content := readFile(t, path)
	m, err := readMetas(fileOf(content), int64(len(content)))
	must(t, err)
	circles := 0
	for id := int64(2); id < int64(m.current.high); id++ {
		page := content[id*pageSize:]
		if page[8] != branchFlag || page[10] == 0 && page[11] == 0 {
			continue
		}
		spoiled := bytes.Clone(content)
		spoiled[id*pageSize+pageHeader+8] = byte(id) // its first child is itself
		spoiled[id*pageSize+pageHeader+9] = byte(id >> 8)
		if _, err := sound(fileOf(spoiled), m); errors.Is(err, ErrDamaged) {
			refused(t, fileWith(t, spoiled), ErrDamaged)
			circles++
		}
	}
	if circles == 0 {
		t.Error("the book has no branch page to turn into a circle")
	}
}
