package storage

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"bendbook/model/record"
)

// TestACopyIsWholeWhileAnotherProcessWritesWithoutAPause takes copies and checks all of each.
func TestACopyIsWholeWhileAnotherProcessWritesWithoutAPause(t *testing.T) {
	t.Parallel()
	path := begin(t, 0)
	writer := start(t, path, 1<<20)
	writer.line() // a busy machine may give all copies their turn before the first entry
	seen := 0
	for copies, tries := 0, 0; copies < 25; tries++ {
		view, err := Open(path, Options{ReadOnly: true})
		if errors.Is(err, ErrRestless) && tries < 1000 {
			continue // The writer left no gap: said, and not shown half.
		}
		must(t, err)
		whole(t, view)
		items, err := view.Items("b1")
		must(t, err)
		if n := len(items); n < seen || n%2 != 0 || n > 0 && items[n-1].Key != keyOf(n) {
			t.Errorf("got %d entries after %d", n, seen)
		}
		seen = len(items)
		must(t, view.Close())
		copies++
	}
	writer.end()
	if seen == 0 {
		t.Error("no copy showed anything of what was written")
	}
}

// disturbed is a file in which something happens after its meta pages were read for the first time.
type disturbed struct {
	*os.File
	happens func()
}

func (d *disturbed) ReadAt(into []byte, at int64) (int, error) {
	if len(into) > pageSize && d.happens != nil {
		d.happens()
		d.happens = nil
	}
	return d.File.ReadAt(into, at)
}

func TestACopyCountsOnlyIfNothingWasCommittedMeanwhile(t *testing.T) {
	t.Parallel()
	path := begin(t, 200)
	book := open(t, path, Options{})
	n := 200
	commits := func(count int) func() {
		return func() {
			for range count {
				n++
				must(t, book.AddItems("b1", []record.Item{pull(t, n)}, ""))
			}
		}
	}
	for count, want := range []bool{true, false, false, false} {
		from, err := os.Open(path)
		must(t, err)
		to, err := os.Create(filepath.Join(t.TempDir(), "copy"))
		must(t, err)
		steady, err := copyOnce(&disturbed{from, commits(count)}, to)
		if err != nil || steady != want {
			t.Errorf("with %d commits: got %v, %v; want %v", count, steady, err, want)
		}
		if steady {
			m, err := metasOf(to)
			must(t, err)
			_, err = sound(to, m)
			must(t, err)
		}
		must(t, errors.Join(from.Close(), to.Close()))
	}
}

// TestPagesAreReusedTwoCommitsLater pins what a copy relies upon: one commit leaves all pages of the one before it
// alone, and the second need not.
func TestPagesAreReusedTwoCommitsLater(t *testing.T) {
	t.Parallel()
	path := begin(t, 200)
	book := open(t, path, Options{})
	reused := false
	for n := 201; n < 300; n += 2 {
		before := readFile(t, path)
		m, err := metasOf(open2(t, path))
		must(t, err)
		must(t, book.AddItems("b1", []record.Item{pull(t, n)}, ""))
		if err := soundAs(t, path, m, before); err != nil {
			t.Fatalf("one commit later: %v", err)
		}
		must(t, book.AddItems("b1", []record.Item{pull(t, n+1)}, ""))
		reused = reused || soundAs(t, path, m, before) != nil
	}
	if !reused {
		t.Error("no page was written over two commits later: copies could be had more easily")
	}
}

func open2(t *testing.T, path string) *os.File {
	t.Helper()
	file, err := os.Open(path)
	must(t, err)
	t.Cleanup(func() { _ = file.Close() })
	return file
}

// soundAs reports the first page that the meta page m reaches which is not as it was before.
func soundAs(t *testing.T, path string, m metas, before []byte) error {
	t.Helper()
	now := readFile(t, path)
	w := walker{file: fileOf(before), meta: m.current, used: make(map[uint64]bool)}
	must(t, w.tree(m.current.root, shelf{}, nil, nil, 0))
	for id := range w.used {
		from := int64(id) * m.current.pageSize
		if string(now[from:from+m.current.pageSize]) != string(before[from:from+m.current.pageSize]) {
			return damage(id, "it was written over")
		}
	}
	return nil
}

// fileOf is content as a file.
type fileOf []byte

func (f fileOf) ReadAt(into []byte, at int64) (int, error) {
	if at >= int64(len(f)) {
		return 0, io.EOF
	}
	n := copy(into, f[at:])
	if n < len(into) {
		return n, io.EOF
	}
	return n, nil
}

func TestABookThatIsFreeMayBeReadWithoutHoldingIt(t *testing.T) {
	t.Parallel()
	path := begin(t, 3)
	view := open(t, path, Options{ReadOnly: true})
	if got, want := view.ReadOnly(), "ash.book was opened for reading only; shown as of 12:00"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	// The book is free for another meanwhile, and the copy does not change.
	must(t, open(t, path, Options{}).AddItems("b1", []record.Item{pull(t, 9)}, ""))
	if items, err := view.Items("b1"); err != nil || len(items) != 3 {
		t.Errorf("got %d entries, %v", len(items), err)
	}
}
