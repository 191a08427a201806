package storage

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"
)

func TestAWholeBookIsExaminedAsWhole(t *testing.T) {
	t.Parallel()
	content, entries := shop(t)
	path := fileWith(t, content)
	held := start(t, path, 0)
	got, err := Examine(path, Options{Now: noon})
	must(t, err)
	held.end()
	if !got.Whole() || len(got.Bows) != len(entries) || got.Entries() != 433 || got.Drafts != 4 || got.Settings != 2 || got.Bows[3].Entries != 40 || got.Bows[3].Name != "Ash flat" {
		t.Errorf("got %+v", got)
	}
	if lines := got.Lines(); len(lines) != 1 || !strings.Contains(lines[0], "is whole: 6 bows, 433 entries, 4 half-typed forms, settings kept 2 times, on ") {
		t.Errorf("got %q", lines)
	}
}

// What is wrong is named, what is whole is counted, and nothing of it is opened for writing.
func TestWhatIsWrongIsNamed(t *testing.T) {
	t.Parallel()
	content, _ := shop(t)
	m, err := readMetas(fileOf(content), int64(len(content)))
	must(t, err)
	newest := int(m.current.tx % 2)
	at := func(text string) int { return bytes.LastIndex(content, []byte(text)) }
	for name, c := range map[string]struct {
		spoil         func(book []byte) []byte
		fault         string
		bows, entries int // at the least
	}{
		"an entry": {func(b []byte) []byte { b[at("bow3 looked at 17 times")] ^= 1; return b },
			"bow bow3, entry " + keyOf(17).String() + ": it is damaged: a checksum does not fit", 6, 432},
		"a description": {func(b []byte) []byte { b[at(`{"id":"bow4"`)+9] ^= 1; return b },
			"bow bow4: it is damaged: a checksum does not fit", 6, 433},
		"settings": {func(b []byte) []byte { b[at("second")] ^= 1; return b },
			"settings 0000000000000002: it is damaged: a checksum does not fit", 6, 433},
		"a tag": {func(b []byte) []byte { b[at("tag")] ^= 1; return b },
			"tag of bow bow0: it is damaged", 6, 433},
		"the newest head page": {func(b []byte) []byte { b[newest*pageSize+40] ^= 1; return b },
			"it is damaged: one of its two head pages; what was saved last may be missing", 6, 433},
		"the older head page": {func(b []byte) []byte { b[(1-newest)*pageSize+40] ^= 1; return b },
			"it is damaged: one of its two head pages", 6, 433},
		"the end": {func(b []byte) []byte { return b[:m.length()-1] }, "", 1, 1},
		"a page":  {func(b []byte) []byte { clear(b[at("bow0 looked at 3 times")&^(pageSize-1):][:pageSize]); return b }, "the entries of bow bow0", 6, 133},
	} {
		path := fileWith(t, c.spoil(bytes.Clone(content)))
		before := readFile(t, path)
		got, err := Examine(path, Options{Now: noon})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		lines := strings.Join(got.Lines(), "\n")
		if got.Whole() || !strings.Contains(lines, "  "+c.fault) || len(got.Bows) < c.bows || got.Entries() < c.entries {
			t.Errorf("%s: got %s", name, lines)
		}
		if book, err := Open(path, Options{}); !errors.Is(err, ErrDamaged) {
			t.Errorf("%s: opening it gives %v", name, err)
			if err == nil {
				must(t, book.Close())
			}
		}
		if !bytes.Equal(readFile(t, path), before) {
			t.Errorf("%s: the file was changed", name)
		}
	}
}

func TestWhatIsNoBookIsNotExamined(t *testing.T) {
	t.Parallel()
	for path, want := range map[string]error{
		fileWith(t, nil): ErrEmpty, fileWith(t, []byte("a letter")): ErrForeign, t.TempDir(): ErrForeign,
		fileWith(t, make([]byte, 1<<15)): ErrForeign, bookPath(t): os.ErrNotExist,
	} {
		if got, err := Examine(path, Options{Now: noon}); !errors.Is(err, want) {
			t.Errorf("%s: got %v, %v", path, got.Lines(), err)
		}
	}
}
