package storage

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"bendbook/model/record"
)

// fill adds entries until one is refused, and returns how many were confirmed.
func fill(t *testing.T, book *Book) (confirmed int, err error) {
	t.Helper()
	for n := 1; n < 10_000; n++ {
		if err := book.AddItems("b1", []record.Item{pull(t, n)}, "d"); err != nil {
			return n - 1, err
		}
	}
	t.Fatal("the disk is never full")
	return 0, nil
}

func TestAFullDiskLosesNothing(t *testing.T) {
	path := begin(t, 0)
	book := open(t, path, Options{maxSize: 1 << 17})
	confirmed, err := fill(t, book)
	if !errors.Is(err, ErrFull) || !strings.Contains(err.Error(), "; make room and save again; what was saved before is safe") {
		t.Errorf("got %v", err)
	}
	// The book stays readable and is as it was before the entry that found no room.
	whole(t, book)
	if items, err := book.Items("b1"); err != nil || len(items) != confirmed {
		t.Errorf("got %d entries of %d, %v", len(items), confirmed, err)
	}
	must(t, book.Close())
	// With room again, the same entry is taken.
	book = open(t, path, Options{})
	must(t, book.AddItems("b1", []record.Item{pull(t, confirmed+1)}, ""))
	if items, err := book.Items("b1"); err != nil || len(items) != confirmed+1 {
		t.Errorf("got %d entries of %d, %v", len(items), confirmed+1, err)
	}
}

func TestAFullDiskKeepsTheDraftOfWhatWasRefused(t *testing.T) {
	path := begin(t, 0)
	book := open(t, path, Options{maxSize: 1 << 17})
	must(t, book.SaveDraft("long", nil))
	long := pull(t, 1)
	long.Doc = []byte(fmt.Sprintf(`{"kind":"note","text":%q}`, strings.Repeat("x", 1<<18)))
	if err := book.AddItems("b1", []record.Item{long}, "long"); !errors.Is(err, ErrFull) {
		t.Errorf("got %v", err)
	}
	if _, ok, err := book.Draft("long"); !ok || err != nil {
		t.Errorf("the draft is gone: %v, %v", ok, err)
	}
	must(t, book.AddItems("b1", []record.Item{pull(t, 1)}, "long"))
}

func TestADiskThatRefusesWritesLosesNothing(t *testing.T) {
	path := begin(t, 5)
	// A file that was opened for reading only fails at its first write, as a disk may that was pulled.
	disk := func(name string, _ int, mode os.FileMode) (*os.File, error) {
		return os.OpenFile(name, os.O_RDONLY, mode)
	}
	book := open(t, path, Options{openFile: disk})
	for range 2 {
		if err := book.SaveDraft("d", []byte("typed")); err == nil || !strings.HasSuffix(err.Error(), "; check the disk, then try again") {
			t.Errorf("got %v", err)
		}
	}
	whole(t, book)
	if items, err := book.Items("b1"); err != nil || len(items) != 5 {
		t.Errorf("got %d entries, %v", len(items), err)
	}
	must(t, book.Close())
	book = open(t, path, Options{})
	if doc, ok, err := book.Draft("d"); !ok || err != nil || string(doc) != "21 3/8" {
		t.Errorf("got draft %q, %v, %v", doc, ok, err)
	}
}

func TestABookIsNotBegunByHalves(t *testing.T) {
	path := bookPath(t)
	if _, err := Open(path, Options{maxSize: 1}); !errors.Is(err, ErrFull) {
		t.Errorf("got %v", err)
	}
	if left, err := os.ReadDir(strings.TrimSuffix(path, "/ash.book")); err != nil || len(left) != 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestAfterAnUnsureCommitNothingIsWritten(t *testing.T) {
	path := begin(t, 0)
	book := open(t, path, Options{})
	// As if the transaction after the last one had failed in its very last step.
	err := book.afterFailedCommit(1, errors.New("sync: input/output error"))
	if !errors.Is(err, ErrUnsure) {
		t.Fatalf("got %v", err)
	}
	if err := book.SaveDraft("d", nil); !errors.Is(err, ErrUnsure) || !strings.Contains(err.Error(), "; close the book and open it again") {
		t.Errorf("got %v", err)
	}
}
