package storage

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"slices"
	"sync/atomic"

	"bendbook/model/say"
)

// What else bbolt writes (internal/common/page.go, inode.go, bucket.go): a page header is the page's number, its
// flags, the count of its elements and how many further pages it runs over; then elements, then keys and values.
const (
	branchFlag   = 0x01
	leafFlag     = 0x02
	freelistFlag = 0x10

	elementLength = 16
	bucketHeader  = 16   // root page and sequence; a small bucket's only page follows inline
	bucketElement = 0x01 // flag of a leaf element that is a bucket
	longCount     = 0xFFFF
	deepest       = 32 // levels of branch pages; 2^32 pages fit
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

// page is one page with those that it runs over to.
type page struct {
	id    uint64
	flags uint16
	count int
	bytes []byte
}

// errStopped is what a walk ends with that was broken off.
var errStopped = say.Error("the walk was broken off")

func damage(id uint64, format say.Word, args ...any) error {
	return say.Errorf("%w: page %d: %s", ErrDamaged, id, say.F(format, args...))
}

// read reads the page of that number, and notes it as used.
func (w *walker) read(id uint64) (page, error) {
	if id < 2 || id >= w.meta.high {
		return page{}, damage(id, "it is outside of the book's %d pages", w.meta.high)
	}
	head := w.sheet()
	if err := w.readAt(head, id); err != nil {
		return page{}, err
	}
	p := page{id: id, flags: binary.LittleEndian.Uint16(head[8:]), count: int(binary.LittleEndian.Uint16(head[10:])), bytes: head}
	over := uint64(binary.LittleEndian.Uint32(head[12:]))
	switch {
	case binary.LittleEndian.Uint64(head) != id:
		return page{}, damage(id, "it says to be page %d", binary.LittleEndian.Uint64(head))
	case id+over >= w.meta.high:
		return page{}, damage(id, "it runs over the book's end")
	}
	for part := id; part <= id+over; part++ {
		if w.used[part] {
			return page{}, damage(part, "it is used twice")
		}
		w.used[part] = true
	}
	if over > 0 {
		p.bytes = make([]byte, int64(over+1)*w.meta.pageSize)
		if err := w.readAt(p.bytes, id); err != nil {
			return page{}, err
		}
	}
	return p, nil
}

// sheet is memory for one page.
func (w *walker) sheet() []byte {
	if n := len(w.blank); n > 0 {
		sheet := w.blank[n-1]
		w.blank = w.blank[:n-1]
		return sheet
	}
	return make([]byte, w.meta.pageSize)
}

// done gives back the memory of a page that nothing refers to any more.
func (w *walker) done(p page) {
	if int64(len(p.bytes)) == w.meta.pageSize {
		w.blank = append(w.blank, p.bytes)
	}
}

// parts are the elements of a page, in memory that doneWith takes back.
func (w *walker) parts(p page, low, high []byte) ([]part, error) {
	var room []part
	if n := len(w.void); n > 0 {
		room, w.void = w.void[n-1], w.void[:n-1]
	}
	return p.parts(room, low, high)
}

func (w *walker) doneWith(parts []part) { w.void = append(w.void, parts) }

// pagesAhead is how many pages are read at once where one after the other is asked for.
const pagesAhead = 16

func (w *walker) readAt(into []byte, id uint64) error {
	pages := uint64(len(into)) / uint64(w.meta.pageSize)
	follows := id == w.next
	w.next = id + pages
	at := int64(id-w.aheadOf) * w.meta.pageSize
	if id >= w.aheadOf && at+int64(len(into)) <= int64(len(w.ahead)) {
		copy(into, w.ahead[at:])
		return nil
	}
	if follows && pages < pagesAhead {
		if w.ahead == nil {
			w.ahead = make([]byte, pagesAhead*w.meta.pageSize)
		}
		// What cannot be read of the pages behind it says nothing of this one.
		n, _ := w.file.ReadAt(w.ahead[:cap(w.ahead)], int64(id)*w.meta.pageSize)
		w.ahead, w.aheadOf = w.ahead[:n], id
		if n >= len(into) {
			copy(into, w.ahead)
			return nil
		}
	}
	_, err := w.file.ReadAt(into, int64(id)*w.meta.pageSize)
	if errors.Is(err, io.EOF) {
		return damage(id, "the file ends within it")
	}
	return err
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

// bucketIn is where the pages of a bucket begin that stands on the page id, or, of a small one, its only page, which lies inline.
func bucketIn(id uint64, value []byte) (root uint64, p page, err error) {
	if len(value) < bucketHeader {
		return 0, page{}, damage(id, "a bucket of %d bytes", len(value))
	}
	if root := binary.LittleEndian.Uint64(value); root != 0 {
		return root, page{}, nil
	}
	inline := value[bucketHeader:]
	if len(inline) < pageHeader {
		return 0, page{}, damage(id, "a bucket of %d bytes", len(value))
	}
	p = page{
		id: id, flags: binary.LittleEndian.Uint16(inline[8:]),
		count: int(binary.LittleEndian.Uint16(inline[10:])), bytes: inline,
	}
	if id := binary.LittleEndian.Uint64(inline); id != 0 || binary.LittleEndian.Uint32(inline[12:]) != 0 {
		return 0, page{}, damage(p.id, "a bucket within it says to be page %d", id)
	}
	if p.count == 0 && len(inline) > pageHeader {
		return 0, page{}, damage(p.id, "a bucket within it is not as empty as it says")
	}
	return 0, p, nil
}

// spare checks that each page that the tree does not use is free, and the other way round: a branch that leads to an
// older page shows by nothing else.
func (w *walker) spare() error {
	if err := w.freelist(); err != nil {
		return err
	}
	return w.complete()
}

// complete finds pages that were met neither in the tree nor among the free ones.
func (w *walker) complete() error {
	for id := uint64(2); id < w.meta.high; id++ {
		if !w.used[id] {
			return damage(id, "it is neither in use nor free")
		}
	}
	return nil
}

// freelist checks the list of free pages: one that is in use as well would be written over.
func (w *walker) freelist() error {
	p, err := w.read(w.meta.freelist)
	if err != nil {
		return err
	}
	count, rest := uint64(p.count), p.bytes[pageHeader:]
	if p.flags != freelistFlag {
		return damage(p.id, "it has flags %#x where the free pages should be", p.flags)
	}
	if count == longCount {
		count, rest = binary.LittleEndian.Uint64(rest), rest[8:]
	}
	if count > uint64(len(rest)/8) {
		return damage(p.id, "it lists %d free pages, more than it holds", count)
	}
	for i := range count {
		free := binary.LittleEndian.Uint64(rest[8*i:])
		if free < 2 || free >= w.meta.high || w.used[free] {
			return damage(p.id, "it lists page %d as free", free)
		}
		w.used[free] = true
	}
	return nil
}

// part is one element of a branch or a leaf page.
type part struct {
	key   []byte
	child uint64 // of a branch
	flags uint32 // of a leaf
	value []byte // of a leaf
	at    int    // where the value begins, from the beginning of the page
}

// parts are the elements of a page, whose keys must rise, and stay from low up to but without high (nil: no bound).
// bbolt writes keys and values in their order and without gaps; a count that was changed shows by that alone. They are put in room, where they fit.
func (p page) parts(room []part, low, high []byte) ([]part, error) {
	u32 := binary.LittleEndian.Uint32
	next := uint64(pageHeader + p.count*elementLength)
	if next > uint64(len(p.bytes)) {
		return nil, damage(p.id, "%d elements do not fit in it", p.count)
	}
	parts := slices.Grow(room[:0], p.count)[:p.count]
	clear(parts)
	if p.count == 0 && len(bytes.Trim(p.bytes[pageHeader:], "\x00")) > 0 {
		return nil, damage(p.id, "it is not as empty as it says")
	}
	for i := range parts {
		at := pageHeader + i*elementLength
		element := p.bytes[at : at+elementLength]
		var position, keySize, valueSize uint64
		if p.flags == branchFlag {
			position, keySize = uint64(u32(element)), uint64(u32(element[4:]))
			parts[i].child = binary.LittleEndian.Uint64(element[8:])
		} else {
			position, keySize, valueSize = uint64(u32(element[4:])), uint64(u32(element[8:])), uint64(u32(element[12:]))
			parts[i].flags = u32(element)
		}
		if uint64(at)+position != next || keySize+valueSize > uint64(len(p.bytes))-next {
			return nil, damage(p.id, "element %d is not where it should be", i)
		}
		parts[i].key, parts[i].value = p.bytes[next:next+keySize], p.bytes[next+keySize:next+keySize+valueSize]
		parts[i].at = int(next + keySize)
		next += keySize + valueSize
		if i > 0 && bytes.Compare(parts[i-1].key, parts[i].key) >= 0 || i == 0 && bytes.Compare(parts[i].key, low) < 0 {
			return nil, damage(p.id, "its keys are out of order")
		}
	}
	if p.count > 0 && high != nil && bytes.Compare(parts[p.count-1].key, high) >= 0 {
		return nil, damage(p.id, "its keys are out of order")
	}
	return parts, nil
}
