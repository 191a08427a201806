package storage

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"go.etcd.io/bbolt"
	"golang.org/x/sys/unix"

	"bendbook/model/measure"
	"bendbook/model/record"
)

var faultsEach = flag.Int("faults", 5, "how many times the disk fails in each of its ways, spread over all of its calls; 0 is once at every call")

// failure is a way in which a disk fails, beginning with one call.
type failure struct {
	name string
	// hits says whether the call is one at which the disk can fail so.
	hits func(call) bool
	// fails is the answer to the first call that fails.
	fails func(call) answer
	// later is the answer to a hit after that, until the maker has seen an error and set the disk right; nil is none.
	later func(call) answer
	// forever: the disk is never set right while the book is open.
	forever bool
}

func answering(errno unix.Errno) func(call) answer {
	return func(call) answer { return answer{value: -1, errno: errno} }
}

// afterHalf writes half, and answers as short does.
func afterHalf(short func(done int64) answer, otherwise func(call) answer) func(call) answer {
	return func(c call) answer {
		if done, ok := c.half(); ok {
			return short(done)
		}
		return otherwise(c)
	}
}

func failures() []failure {
	anyWrite := func(c call) bool { return c.is(writes) }
	shortly := func(done int64) answer { return answer{value: done} }
	return []failure{
		{name: "one write fails", hits: anyWrite, fails: answering(unix.EIO)},
		{name: "one sync fails", hits: func(c call) bool { return c.is(syncs) }, fails: answering(unix.EIO)},
		{name: "one read fails", hits: func(c call) bool { return c.is(reads) }, fails: answering(unix.EIO)},
		{name: "one name fails", hits: func(c call) bool { return c.is(names) }, fails: answering(unix.EIO)},
		{name: "one mapping fails", hits: func(c call) bool { return c.is(mappings) }, fails: answering(unix.ENOMEM)},
		{name: "one write is short", hits: func(c call) bool { return c.number == unix.SYS_PWRITE64 || c.number == unix.SYS_WRITE },
			fails: afterHalf(shortly, answering(unix.EIO))},
		{name: "one write is half done and fails", hits: anyWrite,
			fails: afterHalf(func(int64) answer { return answer{value: -1, errno: unix.EIO} }, answering(unix.EIO))},
		{name: "full until there is room", hits: call.makes,
			fails: afterHalf(shortly, answering(unix.ENOSPC)), later: answering(unix.ENOSPC)},
		{name: "over quota until there is room", hits: call.makes, fails: answering(unix.EDQUOT), later: answering(unix.EDQUOT)},
		{name: "not to be written until it is", hits: call.makes, fails: answering(unix.EROFS), later: answering(unix.EROFS)},
		{name: "gone for ever", hits: func(c call) bool { return !c.is(mappings) },
			fails: afterHalf(func(int64) answer { return answer{value: -1, errno: unix.EIO} }, answering(unix.EIO)), later: answering(unix.EIO), forever: true},
	}
}

// faultyDisk fails at the at'th call (from 0) that its failure hits.
type faultyDisk struct {
	failure
	folder  string // where the disk is
	at, met int
	bad     bool // until it is set right
	struck  *call
}

func (d *faultyDisk) answer(c call) answer {
	if fd, has := c.file(); has {
		// The testing package has files of its own.
		if path, err := os.Readlink(fmt.Sprintf("/proc/self/fd/%d", fd)); err == nil && !strings.HasPrefix(path, d.folder) {
			return answer{pass: true}
		}
	}
	if d.hits != nil && d.hits(c) {
		d.met++
		switch {
		case d.met == d.at+1:
			d.struck, d.bad = &c, d.later != nil
			return d.fails(c)
		case d.bad:
			return d.later(c)
		}
	}
	if c.is(syncs) {
		return answer{} // done, as far as anybody can tell who does not cut the power
	}
	return answer{pass: true}
}

// setRight is the maker making room, or putting the plug back in.
func (d *faultyDisk) setRight() bool {
	if d.forever {
		return false
	}
	d.bad = false
	return true
}

// expected is what a book must hold.
type expected struct {
	bows     map[string]record.Record
	drafts   map[string]string
	settings []byte
}

func (s expected) clone() expected {
	return expected{maps.Clone(s.bows), maps.Clone(s.drafts), s.settings}
}

// tells is what told gives of such a book.
func (s expected) tells() map[string]any {
	all := map[string]any{"bows": "all", "drafts": slices.Sorted(maps.Keys(s.drafts)), "settings": s.settings}
	for id, rec := range s.bows {
		all["bow "+id] = rec.Description
		all["entries of "+id] = rec.Items
	}
	for key, doc := range s.drafts {
		all["draft "+key] = []byte(doc)
	}
	return all
}

// differs says in what a book is not as expected; "" where it is all the same.
func (s expected) differs(book *Book) string {
	got, want := told(book), s.tells()
	for _, what := range slices.Sorted(maps.Keys(want)) {
		if !reflect.DeepEqual(got[what], want[what]) {
			return fmt.Sprintf("%s: %s, not %s", what, brief(got[what]), brief(want[what]))
		}
	}
	if len(got) != len(want) {
		return fmt.Sprintf("it tells %d things instead of %d", len(got), len(want))
	}
	if faults := book.Check(); len(faults) > 0 {
		return faults[0].String()
	}
	return ""
}

// deed is one thing that is done with a book, and what comes of it.
type deed struct {
	name string
	do   func(*Book) error
	then func(*expected)
}

// deeds are a day's work: bows, forms half typed and finished, tags and settings, and enough of it that the file grows.
func deeds(t *testing.T) []deed {
	var all []deed
	addBow := func(id string, n int, draft string) {
		rec := bow(t, id, n)
		all = append(all, deed{"adding bow " + id, func(b *Book) error { return b.AddBow(rec, draft) }, func(s *expected) {
			s.bows[id] = rec
			delete(s.drafts, draft)
		}})
	}
	addItems := func(id string, items []record.Item, draft string) {
		all = append(all, deed{"adding entries to " + id, func(b *Book) error { return b.AddItems(id, items, draft) }, func(s *expected) {
			rec := s.bows[id]
			rec.Items = slices.Concat(rec.Items, items)
			s.bows[id] = rec
			delete(s.drafts, draft)
		}})
	}
	saveDraft := func(key, doc string) {
		all = append(all, deed{"saving draft " + key, func(b *Book) error { return b.SaveDraft(key, []byte(doc)) },
			func(s *expected) { s.drafts[key] = doc }})
	}
	addBow("b1", 20, "")
	saveDraft("new", "{1}")
	addBow("b2", 0, "new")
	for n := range 4 {
		for field := range 3 {
			saveDraft("pull", fmt.Sprintf("{%d %d}", n, field))
		}
		addItems("b2", pulls(t, n, 1), "pull")
	}
	all = append(all, deed{"keeping tags", func(b *Book) error { return b.KeepTags(map[string][]byte{"b1": []byte("a tag")}) }, func(*expected) {}})
	for n := range 2 {
		doc := fmt.Appendf(nil, `{"mark":%d}`, n)
		all = append(all, deed{"keeping settings", func(b *Book) error { return b.KeepSettings(doc) }, func(s *expected) { s.settings = doc }})
	}
	long := pull(t, 90)
	long.Doc = fmt.Appendf(nil, `{"kind":"note","text":%q}`, strings.Repeat("x", 70_000))
	long, err := parsedAgain(long)
	must(t, err)
	saveDraft("note", "{2}")
	addItems("b1", []record.Item{long}, "note")
	saveDraft("left", "half typed")
	all = append(all, deed{"dropping a draft", func(b *Book) error { return b.DropDraft("left") }, func(s *expected) { delete(s.drafts, "left") }})
	saveDraft("left", "half typed again")
	return all
}

// parsedAgain is an item as it comes from its document.
func parsedAgain(item record.Item) (record.Item, error) {
	again, err := record.ParseItem(item.Doc, measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce})
	again.Key, again.Entry.ID = item.Key, item.Entry.ID
	return again, err
}

// nextSchema is a made-up schema, one version on, that writes every draft anew.
func nextSchema() schema {
	return schema{version: 2, steps: map[int]func(*bbolt.Tx) error{1: func(tx *bbolt.Tx) error {
		drafts := tx.Bucket([]byte(sortDrafts))
		return drafts.ForEach(func(key, value []byte) error { return drafts.Put(bytes.Clone(key), bytes.Clone(value)) })
	}}}
}

// errDown ends the work: the disk is gone for ever, and what was confirmed must be found once it is back.
var errDown = errors.New("the disk stays away")

// worker does a day's work on a book, setting right what fails and trying again.
type worker struct {
	path string
	disk *faultyDisk
	want expected
	// maybe is what the book may hold instead, where a commit's end is unsure.
	maybe *expected
	opts  Options
}

// work is the day from the first opening to the last closing. The error is what should not have been.
func (w *worker) work(day []deed) error {
	book, err := w.open()
	if err != nil {
		return err
	}
	half := len(day) / 2
	if book, err = w.all(book, day[:half]); err != nil {
		return errors.Join(err, w.close(book))
	}
	if err := w.close(book); err != nil {
		return err
	}
	// On the next day the program is a later one.
	w.opts.schema = nextSchema()
	if book, err = w.open(); err != nil {
		return err
	}
	if book, err = w.all(book, day[half:]); err != nil {
		return errors.Join(err, w.close(book))
	}
	if err := w.look(); err != nil {
		return errors.Join(err, w.close(book))
	}
	return w.close(book)
}

// told is whether an error is told as one should be, in one line that names the book.
func (w *worker) wellTold(err error) error {
	line := err.Error()
	var known *Error
	if !errors.As(err, &known) || strings.Contains(line, "\n") || !strings.Contains(line, w.path) {
		return fmt.Errorf("badly told: %q", line)
	}
	return nil
}

func (w *worker) open() (*Book, error) {
	book, err := Open(w.path, w.opts)
	if err == nil {
		return book, nil
	}
	if err := w.wellTold(err); err != nil {
		return nil, err
	}
	if !w.disk.setRight() {
		return nil, errDown
	}
	if book, err = Open(w.path, w.opts); err != nil {
		return nil, fmt.Errorf("the disk is well again, but: %w", err)
	}
	return book, nil
}

// look is a second one who looks at the book meanwhile.
func (w *worker) look() error {
	opts := w.opts
	opts.ReadOnly = true
	view, err := Open(w.path, opts)
	if err != nil {
		if err := w.wellTold(err); err != nil {
			return err
		}
		if !w.disk.setRight() {
			return errDown
		}
		if view, err = Open(w.path, opts); err != nil {
			return fmt.Errorf("the disk is well again, but looking: %w", err)
		}
	}
	differs := w.want.differs(view)
	if err := view.Close(); err != nil {
		return err
	}
	if differs != "" && w.disk.struck == nil {
		return fmt.Errorf("the copy differs: %s", differs)
	}
	return nil
}

func (w *worker) close(book *Book) error {
	if book == nil {
		return nil
	}
	if err := book.Close(); err != nil {
		return w.wellTold(err)
	}
	return nil
}

func (w *worker) all(book *Book, day []deed) (*Book, error) {
	for _, d := range day {
		next := w.want.clone()
		d.then(&next)
		for tries := 0; ; tries++ {
			err := d.do(book)
			if err == nil {
				break
			}
			if err := w.wellTold(err); err != nil {
				return book, fmt.Errorf("%s: %w", d.name, err)
			}
			if tries > 0 {
				return book, fmt.Errorf("%s once more, on a disk that is well: %w", d.name, err)
			}
			if book, err = w.after(book, err, next); err != nil {
				return book, fmt.Errorf("%s: %w", d.name, err)
			}
			if w.maybe == nil && w.isNow(book, next) {
				break // it was kept all the same, as was said that it might be
			}
		}
		w.want = next
	}
	return book, nil
}

// after is what the maker does after an error: looks whether all is still there, sets the disk right, and opens the book
// again where the error asks for that.
func (w *worker) after(book *Book, failed error, next expected) (*Book, error) {
	unsure := errors.Is(failed, ErrUnsure) || errors.Is(failed, ErrDamaged)
	if unsure {
		w.maybe = &next
	} else if differs := w.want.differs(book); differs != "" && w.disk.struck == nil {
		return book, fmt.Errorf("after %q: %s", failed, differs)
	}
	if !w.disk.setRight() {
		return book, errDown
	}
	if !unsure {
		if differs := w.want.differs(book); differs != "" {
			return book, fmt.Errorf("after %q: %s", failed, differs)
		}
		return book, nil
	}
	if err := w.close(book); err != nil {
		return nil, err
	}
	book, err := w.open()
	if err != nil {
		return nil, err
	}
	if !w.isNow(book, next) {
		if differs := w.want.differs(book); differs != "" {
			return book, fmt.Errorf("after %q and opening again: %s", failed, differs)
		}
	}
	w.maybe = nil
	return book, nil
}

func (w *worker) isNow(book *Book, s expected) bool { return s.differs(book) == "" }

// TestWhateverFailsOnTheDiskNothingConfirmedIsLost lets the disk fail in each way at each call in turn, over a day's work.
// Each failure must be told in a line; on a disk that is well again the same can be saved once more; and the book, opened
// again, is whole and holds all that was confirmed.
func TestWhateverFailsOnTheDiskNothingConfirmedIsLost(t *testing.T) {
	s := seed(t)
	day := deeds(t)
	for i, f := range failures() {
		t.Run(f.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(s, uint64(i)))
			// With at beyond all calls, the disk does not fail and counts.
			total := onceFailing(t, f, 1<<30, day).met
			if total == 0 {
				t.Fatal("the day's work makes no such call")
			}
			chosen := r.Perm(total)
			if *faultsEach > 0 {
				chosen = chosen[:min(*faultsEach, total)]
			}
			struck := make(map[string]int)
			for _, at := range chosen {
				if disk := onceFailing(t, f, at, day); disk.struck != nil {
					struck[callName(disk.struck.number)]++
				}
				if t.Failed() {
					return
				}
			}
			t.Logf("%d failures at %d calls: %v", len(chosen), total, struck)
		})
	}
}

func callName(number int) string {
	return map[int]string{
		unix.SYS_PWRITE64: "pwrite64", unix.SYS_WRITE: "write", unix.SYS_COPY_FILE_RANGE: "copy_file_range", unix.SYS_SENDFILE: "sendfile",
		unix.SYS_FTRUNCATE: "ftruncate", unix.SYS_FDATASYNC: "fdatasync", unix.SYS_FSYNC: "fsync", unix.SYS_PREAD64: "pread64",
		unix.SYS_READ: "read", unix.SYS_OPENAT: "openat", unix.SYS_LINKAT: "linkat", unix.SYS_RENAMEAT: "renameat",
		unix.SYS_UNLINKAT: "unlinkat", unix.SYS_MKDIRAT: "mkdirat", unix.SYS_MMAP: "mmap",
	}[number]
}

// onceFailing does the day's work in a folder of its own, on a disk that fails at one call.
func onceFailing(t *testing.T, f failure, at int, day []deed) *faultyDisk {
	t.Helper()
	folder, err := os.MkdirTemp("", "bendbook-disk-")
	must(t, err)
	defer func() { must(t, os.RemoveAll(folder)) }()
	disk := &faultyDisk{failure: f, at: at, folder: folder}
	w := &worker{path: filepath.Join(folder, "shop", "ash.book"), disk: disk, opts: Options{Now: noon},
		want: expected{make(map[string]record.Record), make(map[string]string), nil}}
	onDisk(t, disk.answer, func() { err = w.work(day) })
	where := fmt.Sprintf("%s at call %d", f.name, at)
	if disk.struck != nil {
		where += " (" + callName(disk.struck.number) + ")"
	}
	if err != nil && !errors.Is(err, errDown) {
		t.Errorf("%s: %v", where, err)
		return disk
	}
	if _, err := os.Stat(w.path); errors.Is(err, os.ErrNotExist) && len(w.want.bows) == 0 && w.maybe == nil {
		return disk // it was not begun yet
	}
	book, err := Open(w.path, Options{Now: noon, schema: nextSchema()})
	if err != nil {
		t.Errorf("%s: the book cannot be opened afterwards: %v", where, err)
		return disk
	}
	defer func() { must(t, book.Close()) }()
	whole(t, book)
	if differs := w.want.differs(book); differs != "" && (w.maybe == nil || !w.isNow(book, *w.maybe)) {
		t.Errorf("%s: afterwards %s", where, differs)
	}
	return disk
}
