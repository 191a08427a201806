//go:build linux && !race

package storage

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/sys/unix"

	"bendbook/model/record"
)

var faultsEach = flag.Int("faults", 6, "at how many calls the disk fails in each of its ways; 0 is every call")

// failure is a way in which a disk fails, beginning with one call.
type failure struct {
	name  string
	hits  func(call) bool   // whether the call is one at which the disk can fail so
	fails func(call) answer // to the first call that fails
	later func(call) answer // to a hit after that, until the disk is set right; nil is none
	// forever: the disk is never set right while the book is open. To what is on the disk it is the same as
	// a kill.
	forever bool
}

func answering(errno unix.Errno) func(call) answer {
	return func(call) answer { return answer{value: -1, errno: errno} }
}

// afterHalf does half of a write, and answers with how much was done, or with an error.
func afterHalf(errno unix.Errno, short bool) func(call) answer {
	return func(c call) answer {
		done, ok := c.half()
		if ok && short {
			return answer{value: done}
		}
		return answer{value: -1, errno: errno}
	}
}

func failures() []failure {
	of := func(sorts ...[]int) func(call) bool { return func(c call) bool { return c.is(sorts...) } }
	return []failure{
		{name: "one write fails", hits: of(writes), fails: answering(unix.EIO)},
		{name: "one sync fails", hits: of(syncs), fails: answering(unix.EIO)},
		{name: "one read fails", hits: of(reads), fails: answering(unix.EIO)},
		{name: "one name fails", hits: of(names), fails: answering(unix.EIO)},
		{name: "one mapping fails", hits: of(mappings), fails: answering(unix.ENOMEM)},
		{name: "one write is half done", hits: of(writes), fails: afterHalf(unix.EIO, false)},
		{name: "full until there is room", hits: call.makes,
			fails: afterHalf(unix.ENOSPC, true), later: answering(unix.ENOSPC)},
		{name: "read-only for a while", hits: call.makes, fails: answering(unix.EROFS), later: answering(unix.EROFS)},
		{name: "gone, or the program killed", hits: of(writes, syncs, names),
			fails: afterHalf(unix.EIO, true), later: answering(unix.EIO), forever: true},
	}
}

// faultyDisk fails at the at'th call (from 0) that its failure hits.
type faultyDisk struct {
	failure
	folder  string // where the disk is
	at, met int
	bad     bool // until it is set right
	struck  bool
}

func (d *faultyDisk) answer(c call) answer {
	if path := c.path(); path != "" && !strings.HasPrefix(path, d.folder) {
		return answer{pass: true} // the testing package has files of its own
	}
	if d.hits(c) {
		d.met++
		if d.met == d.at+1 {
			d.struck, d.bad = true, d.later != nil
			return d.fails(c)
		}
		if d.bad {
			return d.later(c)
		}
	}
	if c.is(syncs) {
		return answer{} // done, as far as anybody can tell who doesn't cut the power
	}
	return answer{pass: true}
}

// deeds are a day's work: bows, forms half typed and finished, settings, and enough that the file grows.
func deeds(t *testing.T) (all []func(*Book) error) {
	do := func(deed func(*Book) error) { all = append(all, deed) }
	draft := func(key, doc string) { do(func(b *Book) error { return b.SaveDraft(key, []byte(doc)) }) }
	first, second := bow(t, "b1", 20), bow(t, "b2", 0)
	do(func(b *Book) error { return b.AddBow(first, "") })
	draft("new", "{1}")
	do(func(b *Book) error { return b.AddBow(second, "new") })
	for n := range 4 {
		draft("pull", fmt.Sprint(n))
		items := pulls(t, 2*n, 1+n%2)
		do(func(b *Book) error { return b.AddItems("b2", items, "pull") })
	}
	for n := range 2 {
		do(func(b *Book) error { return b.KeepSettings(fmt.Appendf(nil, `{"mark":%d}`, n)) })
	}
	do(func(b *Book) error { return b.KeepRows(map[string][]byte{"b1": []byte("a row")}) })
	long := pull(t, 90)
	long.Doc = fmt.Appendf(nil, `{"kind":"note","text":%q}`, strings.Repeat("x", 70_000))
	do(func(b *Book) error { return b.AddItems("b1", []record.Item{long}, "") })
	draft("left", "half typed")
	do(func(b *Book) error { return b.DropDraft("left") })
	draft("left", "half typed again")
	return all
}

// states are what a book tells before the first of the deeds and after each.
func states(t *testing.T, deeds []func(*Book) error) (all []string) {
	book := open(t, bookPath(t), Options{})
	all = append(all, stateOf(t, book))
	for _, do := range deeds {
		must(t, do(book))
		all = append(all, stateOf(t, book))
	}
	return all
}

// worker does a day's work on a book, setting right what fails and trying again.
type worker struct {
	t      *testing.T
	path   string
	disk   *faultyDisk
	deeds  []func(*Book) error
	states []string
	done   int // deeds that were confirmed
	unsure bool
}

// told fails the test unless an error is one line that names the book, and says whether the disk is right
// again.
func (w *worker) told(err error) (again bool) {
	if line := err.Error(); !errors.As(err, new(told)) || strings.Contains(line, "\n") || !strings.Contains(line, w.path) {
		w.t.Errorf("badly told: %q", line)
	}
	w.disk.bad = w.disk.bad && w.disk.forever
	return !w.disk.forever
}

func (w *worker) open() *Book {
	for range 2 {
		book, err := Open(w.path, Options{Now: noon})
		if err == nil {
			return book
		}
		if !w.told(err) {
			return nil
		}
	}
	w.t.Error("the disk is well again, but the book can't be opened")
	return nil
}

// work is the day, with the book closed and opened again at noon.
func (w *worker) work() {
	book := w.open()
	for book != nil && w.done < len(w.deeds) && !w.t.Failed() {
		if err := w.deeds[w.done](book); err != nil {
			book = w.after(book, err)
			continue
		}
		w.done++
		if w.done == len(w.deeds)/2 {
			if err := book.Close(); err != nil {
				w.told(err)
			}
			book = w.open()
		}
	}
	if book != nil {
		if err := book.Close(); err != nil {
			w.told(err)
		}
	}
}

// after is what the maker does after an error: sets the disk right, opens the book again where the error
// asks for that, and looks.
func (w *worker) after(book *Book, failed error) *Book {
	again := w.told(failed)
	if errors.Is(failed, errUnsure) || errors.Is(failed, errDamaged) || !again {
		w.unsure = true
		if err := book.Close(); err != nil {
			w.told(err)
		}
		if !again {
			return nil
		}
		if book = w.open(); book == nil {
			return nil
		}
	}
	switch stateOf(w.t, book) {
	case w.states[w.done]:
	case w.states[w.done+1]:
		if !w.unsure {
			w.t.Errorf("after %q it was kept all the same", failed)
		}
		w.done++
	default:
		w.t.Errorf("after %q something else is there", failed)
	}
	w.unsure = false
	return book
}

// TestWhateverFailsOnTheDiskNothingConfirmedIsLost lets the disk fail in each way at some call, over a
// day's work. Each failure must be told in a line; on a disk that is well again the same can be saved once
// more; and the book, opened again, is whole and holds all that was confirmed, once.
func TestWhateverFailsOnTheDiskNothingConfirmedIsLost(t *testing.T) {
	day := deeds(t)
	want := states(t, day)
	r := rand.New(rand.NewPCG(seed(t), 2))
	for _, f := range failures() {
		once := func(at int) *faultyDisk {
			folder := t.TempDir()
			disk := &faultyDisk{failure: f, at: at, folder: folder}
			w := &worker{t: t, path: filepath.Join(folder, "shop", "ash.book"), disk: disk, deeds: day, states: want}
			onDisk(t, disk.answer, w.work)
			w.finally(f.name, at)
			return disk
		}
		total := once(1 << 30).met // beyond all calls, the disk doesn't fail and counts
		chosen := r.Perm(total)
		if *faultsEach > 0 {
			chosen = chosen[:min(*faultsEach, total)]
		}
		for _, at := range chosen {
			if disk := once(at); !disk.struck && !disk.forever {
				t.Logf("%s: call %d of %d did not come", f.name, at, total)
			}
		}
		t.Logf("%s: %d failures at %d calls", f.name, len(chosen), total)
	}
}

// finally opens the book on a disk that is well.
func (w *worker) finally(name string, at int) {
	if _, err := os.Stat(w.path); errors.Is(err, os.ErrNotExist) && w.done == 0 {
		return // it was not begun yet
	}
	book, err := Open(w.path, Options{Now: noon})
	if err != nil {
		w.t.Fatalf("%s at call %d: %v", name, at, err)
	}
	got := stateOf(w.t, book)
	if got != w.states[w.done] && (!w.unsure || got != w.states[w.done+1]) {
		w.t.Errorf("%s at call %d: after %d deeds something else is there", name, at, w.done)
	}
	must(w.t, book.Close())
	whole(w.t, w.path)
	if w.t.Failed() {
		w.t.Fatalf("%s at call %d", name, at)
	}
}

// TestABookThatMayNotBeWrittenCanBeRead opens no file for writing.
func TestABookThatMayNotBeWrittenCanBeRead(t *testing.T) {
	for errno, says := range map[unix.Errno]string{
		unix.EACCES: "nothing can be written to it (",
		unix.EROFS:  "nothing can be written to it: its disk is read-only (",
	} {
		path := begun(t, 3)
		forbid := func(c call) answer {
			create := c.args[2]&unix.O_CREAT != 0 // a view's private copy
			return answer{pass: c.number != unix.SYS_OPENAT || c.args[2]&unix.O_RDWR == 0 || create, value: -1, errno: errno}
		}
		var errOpen, errView error
		var view *Book
		onDisk(t, forbid, func() {
			_, errOpen = Open(path, Options{Now: noon})
			view, errView = Open(path, Options{Now: noon, ReadOnly: true})
		})
		if !errors.Is(errOpen, errReadOnly) || !strings.HasPrefix(errOpen.Error(), "opening "+path+": "+says) {
			t.Errorf("got %v", errOpen)
		}
		must(t, errView)
		if items, err := itemsOf(view, "b1"); err != nil || len(items) != 3 || view.ReadOnly() == "" {
			t.Errorf("got %d entries, %v, %q", len(items), err, view.ReadOnly())
		}
		if err := view.SaveDraft("d", nil); !errors.Is(err, errReadOnly) {
			t.Errorf("got %v", err)
		}
		must(t, view.Close())
	}
}

func TestABookThatMayNotBeReadIsTold(t *testing.T) {
	path := begun(t, 3)
	forbid := func(c call) answer {
		return answer{pass: c.number != unix.SYS_OPENAT, value: -1, errno: unix.EACCES}
	}
	var err error
	onDisk(t, forbid, func() { _, err = Open(path, Options{}) })
	fails(t, err, fs.ErrPermission, "opening "+path+": permission denied; ask its owner for access, or choose another file")
}

// TestAFullDiskLosesNothing saves until the book's file may not grow any more, then makes room.
func TestAFullDiskLosesNothing(t *testing.T) {
	path := begun(t, 0)
	const room = 1 << 17
	fills := func(c call) answer {
		grows := c.number == unix.SYS_PWRITE64 && c.args[3]+c.args[2] > room ||
			c.number == unix.SYS_FTRUNCATE && c.args[1] > room
		if c.is(syncs) {
			return answer{}
		}
		return answer{pass: !grows || !strings.HasPrefix(c.path(), filepath.Dir(path)), value: -1, errno: unix.ENOSPC}
	}
	n := 0
	var err error
	onDisk(t, fills, func() {
		book := opened(t, path, Options{Now: noon})
		must(t, book.SaveDraft("pull", []byte("typed")))
		for err == nil && n < 10_000 {
			n++
			err = book.AddItems("b1", []record.Item{pull(t, n)}, "")
		}
		fails(t, err, err, "; make room and save again; what you saved before is safe")
		long := pull(t, n)
		long.Doc = fmt.Appendf(nil, `{"kind":"note","text":%q}`, strings.Repeat("x", 1<<18))
		if err := book.AddItems("b1", []record.Item{long}, "pull"); err == nil {
			t.Error("it was saved on a full disk")
		}
		if doc := draftOf(t, book, "pull"); doc != "typed" {
			t.Errorf("the draft is %q", doc)
		}
		must(t, book.Close())
	})
	whole(t, path)
	book := open(t, path, Options{})
	must(t, book.AddItems("b1", []record.Item{pull(t, n)}, "pull"))
	if items, err := itemsOf(book, "b1"); err != nil || len(items) != n {
		t.Errorf("%d entries of %d, %v", len(items), n, err)
	}
	path = bookPath(t)
	none := &faultyDisk{failure: failures()[6], folder: filepath.Dir(path)}
	onDisk(t, none.answer, func() { _, err = Open(path, Options{}) })
	fails(t, err, unix.ENOSPC, "what you saved before is safe")
}
