package storage

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"sync/atomic"
)

// sound walks every page that the current meta page reaches and returns what is wrong with the first that is not as
// bbolt writes them. bbolt trusts its pages: in a damaged file it panics, follows wild pointers or runs in circles,
// or hands out pages that are in use. So no page is read by it that was not walked before, and nothing is written to a
// file before all of it was walked. The file must not be written to meanwhile. The error wraps ErrDamaged, or is the disk's.
//
// What is wrong beside the pages is in the tally: a reader can do without it.
func sound(file io.ReaderAt, m metas) (tally, error) {
	w := newWalker(file, m)
	if err := w.first(); err != nil {
		return tally{}, err
	}
	err := w.rest()
	return w.tally, err
}

// walker knows which pages were met.
type walker struct {
	file io.ReaderAt
	meta metaPage
	used map[uint64]bool
	tally

	parted bool // the entries are left for rest
	// met is told the values that lie in the book's own buckets, and whether their checksums fit; nil where nobody asks. It must copy what it keeps.
	met    func(in shelf, key, value []byte, whole bool)
	tagged uint64   // the sequence of the tags' bucket: see stampTags
	later  [][]byte // what stands under the names of buckets that are left for rest
	blank  [][]byte // memory of single pages that are done with
	void   [][]part // memory of their elements
	// ahead is what was read of the file from the page aheadOf on, and next the page after the one that was read last.
	ahead         []byte
	aheadOf, next uint64
	stop          *atomic.Bool
}

func newWalker(file io.ReaderAt, m metas) *walker {
	w := &walker{file: file, meta: m.current, used: make(map[uint64]bool), parted: true, stop: new(atomic.Bool)}
	w.flaw = m.pair()
	return w
}

// first walks all but the entries, which are most of a book.
func (w *walker) first() error {
	if err := w.tree(w.meta.root, shelf{}, nil, nil, 0); err != nil {
		return err
	}
	return w.freelist()
}

// rest walks what first left.
func (w *walker) rest() error {
	w.met = nil
	for _, value := range w.later {
		if err := w.bucket(w.meta.root, shelf{}.within(sortEntries), value); err != nil {
			return err
		}
	}
	return w.complete()
}

// leftForRest says whether the bucket of this name is walked last.
func (w *walker) leftForRest(in shelf, name []byte) bool {
	return w.parted && in == (shelf{}) && string(name) == sortEntries
}

// tally is what a walk has met beside pages.
type tally struct {
	bows, entries int
	flaw          error // the first value that is not whole, or a head page that is not; nil where all are
}

// errStopped is what a walk ends with that was broken off.
var errStopped = errors.New("the walk was broken off")

func damage(id uint64, format string, args ...any) error {
	return fmt.Errorf("%w: page %d: %s", ErrDamaged, id, fmt.Sprintf(format, args...))
}

// tree walks the pages of a bucket below the page id, whose keys are from min up to but without max (nil: no bound).
func (w *walker) tree(id uint64, in shelf, low, high []byte, depth int) error {
	if w.stop != nil && w.stop.Load() {
		return errStopped
	}
	p, err := w.read(id)
	if err != nil {
		return err
	}
	defer w.done(p)
	if p.flags != branchFlag {
		return w.leaf(p, in, low, high, depth)
	}
	if p.count == 0 || depth > deepest {
		return damage(id, "%d branches at level %d", p.count, depth)
	}
	parts, err := w.parts(p, low, high)
	if err != nil {
		return err
	}
	defer w.doneWith(parts)
	for i, part := range parts {
		below := high
		if i+1 < len(parts) {
			below = parts[i+1].key
		}
		if err := w.tree(part.child, in, part.key, below, depth+1); err != nil {
			return err
		}
	}
	return nil
}

// leaf checks a leaf page and walks the buckets that it holds. A leaf without keys is the whole of an empty bucket.
func (w *walker) leaf(p page, in shelf, low, high []byte, depth int) error {
	if p.flags != leafFlag || p.count == 0 && depth > 0 {
		return damage(p.id, "it has flags %#x and %d elements", p.flags, p.count)
	}
	parts, err := w.parts(p, low, high)
	if err != nil {
		return err
	}
	defer w.doneWith(parts)
	var mine uint32
	if in.sort != "" {
		mine = mark(layoutVersion, in.sort, in.bow)
	}
	for i, part := range parts {
		switch {
		case len(part.key) == 0 || part.flags&^bucketElement != 0:
			return damage(p.id, "element %d has flags %#x and a key of %d bytes", i, part.flags, len(part.key))
		case part.flags == bucketElement && w.leftForRest(in, part.key):
			w.later = append(w.later, bytes.Clone(part.value))
		case part.flags == bucketElement:
			if string(part.key) == sortTags && in == (shelf{}) && len(part.value) >= bucketHeader {
				w.tagged = binary.LittleEndian.Uint64(part.value[8:])
			}
			if err := w.bucket(p.id, in.within(string(part.key)), part.value); err != nil {
				return err
			}
		case in.sort != "":
			w.count(in)
			err := sealed(mine, part.key, part.value)
			if err != nil && w.flaw == nil {
				w.flaw = fmt.Errorf("%s: %w", place{in.sort, in.bow, part.key}, err)
			}
			if w.met != nil {
				w.met(in, part.key, part.value, err == nil)
			}
		}
	}
	return nil
}

// count counts a value.
func (t *tally) count(in shelf) {
	switch in.sort {
	case sortBows:
		t.bows++
	case sortEntries:
		t.entries++
	}
}

// bucket walks a bucket from what stands under its name, on the page id.
func (w *walker) bucket(id uint64, in shelf, value []byte) error {
	root, inline, err := bucketIn(id, value)
	switch {
	case err != nil:
		return err
	case inline.bytes == nil:
		return w.tree(root, in, nil, nil, 0)
	}
	return w.leaf(inline, in, nil, nil, 0)
}
