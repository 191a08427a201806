package storage

import (
	"errors"
	"math/rand/v2"
	"os"
	"reflect"
	"testing"

	"bendbook/model/record"
)

// A book that is handed out ahead of the walk over its entries is the same book.
func TestABookAheadSaysAndKeepsTheSame(t *testing.T) {
	path := begin(t, 300)
	book := open(t, path, Options{Ahead: true})
	must(t, book.AddItems("b1", pulls(t, 300, 1), ""))
	must(t, book.Whole())
	items, err := book.Items("b1")
	if err != nil || len(items) != 301 {
		t.Errorf("got %d entries, %v", len(items), err)
	}
	must(t, book.Close())
	if _, err := book.Items("b1"); !errors.Is(err, ErrClosed) {
		t.Errorf("closed: got %v", err)
	}
	again := open(t, path, Options{})
	if got, err := again.Items("b1"); err != nil || !reflect.DeepEqual(got, items) {
		t.Errorf("reopened: got %d entries, %v", len(got), err)
	}
}

// Closing does not wait for the walk, and leaves the book as it was.
func TestABookAheadMayBeClosedAtOnce(t *testing.T) {
	path := begin(t, 2000)
	for range 20 {
		book, err := Open(path, Options{Ahead: true})
		must(t, err)
		must(t, book.Close())
	}
	open(t, path, Options{})
}

// Whatever bit is wrong: where the whole walk refuses a book, it is refused ahead too, or nothing can be written to it, and the file stays as it was.
func TestADamagedBookIsNotWrittenToAhead(t *testing.T) {
	t.Parallel()
	content := readFile(t, begin(t, 400))
	m, err := readMetas(fileOf(content), int64(len(content)))
	must(t, err)
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	random := rand.New(rand.NewPCG(seed, 0))
	damaged := fileWith(t, content)
	late := 0
	for n := 0; n < 300; n++ {
		at := random.Int64N(m.length())
		if n%2 == 0 {
			at = at&^(pageSize-1) + random.Int64N(64)
		}
		spoiled := append([]byte(nil), content...)
		spoiled[at] ^= 1 << random.IntN(8)
		must(t, os.WriteFile(damaged, spoiled, 0o600))
		_, whole := Open(damaged, Options{ReadOnly: true})
		if whole == nil {
			continue // its checksums are for who reads it
		}
		book, err := Open(damaged, Options{Ahead: true})
		if err == nil {
			_ = book.Bows(func(record.Description) error { return nil })
			_ = book.Tags(func(string, string) error { return nil })
			if err = ahead(t, book); err != nil {
				late++
			}
		}
		if err == nil {
			t.Errorf("byte %d: %v, but it is opened ahead", at, whole)
			must(t, book.Close())
			continue
		}
		if got := readFile(t, damaged); !reflect.DeepEqual(got, spoiled) {
			t.Errorf("byte %d: the file was changed", at)
		}
	}
	t.Logf("%d were found out after they were handed out", late)
	if late == 0 {
		t.Error("no damage lay in the entries")
	}
}
