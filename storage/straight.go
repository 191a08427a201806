package storage

import (
	"bytes"
	"fmt"
	"slices"

	"go.etcd.io/bbolt"
)

// straight reads what is wanted by thousands from the file, page by page, and not through bbolt's mapping: of that, sixteen pages and more come into memory
// with each that is looked at, and stay. Each page is looked over as it is read, so that this may go on beside the walk over all of them.
func (b *Book) straight(doing string, read func(*walker) error) error {
	for {
		settled := false
		err := b.view(doing, func(tx *bbolt.Tx) error { // the transaction keeps the pages from being written over
			m, err := metasOf(b.file)
			if err != nil || m.current.tx != uint64(tx.ID()) {
				return err
			}
			settled = true
			return read(newWalker(b.file, m))
		})
		if err != nil || settled {
			return err
		}
		// Something was written just now.
	}
}

// storedBow is a bow as the book has it; ok is false where it has none of that id.
func (w *walker) storedBow(id string) (bow storedBow, ok bool, err error) {
	found, _, ok, err := w.lookUp(sortBows, id)
	if err != nil || !ok || found.flags != 0 {
		return storedBow{}, false, err
	}
	return storedBow{id, bytes.Clone(found.value)}, true, nil
}

// storedItems are the entries of a bow that the book has.
func (w *walker) storedItems(bow string) ([]storedItem, error) {
	entries, page, ok, err := w.lookUp(sortEntries, bow)
	if err == nil && (!ok || entries.flags != bucketElement) {
		err = fmt.Errorf("%w: the entries of bow %s are missing", ErrDamaged, bow)
	}
	if err != nil {
		return nil, err
	}
	var items []storedItem
	var kept slab
	w.met = func(_ shelf, key, value []byte, _ bool) {
		items = append(items, storedItem{bow, kept.keep(key), kept.keep(value)})
	}
	err = w.bucket(page, shelf{sort: sortEntries}.within(bow), entries.value)
	return items, err
}

// lookUp is what stands under a key in one of the book's own buckets, and the page on which it stands.
func (w *walker) lookUp(sort, key string) (found part, page uint64, ok bool, err error) {
	clear(w.used) // by what was looked up before
	in, page, ok, err := w.find(w.meta.root, []byte(sort), nil, nil, 0)
	switch {
	case err != nil:
		return part{}, 0, false, err
	case !ok || in.flags != bucketElement:
		return part{}, 0, false, fmt.Errorf("%w: its part %q is missing", ErrDamaged, sort)
	}
	root, inline, err := bucketIn(page, in.value)
	switch {
	case err != nil:
		return part{}, 0, false, err
	case inline.bytes != nil:
		return w.findIn(inline, []byte(key), nil, nil, 0)
	}
	return w.find(root, []byte(key), nil, nil, 0)
}

// find is what stands under a key in the pages below id, and the page on which it stands. See tree for the bounds.
func (w *walker) find(id uint64, key, low, high []byte, depth int) (found part, page uint64, ok bool, err error) {
	p, err := w.read(id)
	if err != nil {
		return part{}, 0, false, err
	}
	return w.findIn(p, key, low, high, depth)
}

func (w *walker) findIn(p page, key, low, high []byte, depth int) (found part, page uint64, ok bool, err error) {
	parts, err := p.parts(nil, low, high)
	if err != nil {
		return part{}, 0, false, err
	}
	at, ok := slices.BinarySearchFunc(parts, key, func(p part, key []byte) int { return bytes.Compare(p.key, key) })
	switch {
	case p.flags == leafFlag && !ok:
		return part{}, 0, false, nil
	case p.flags == leafFlag:
		return parts[at], p.id, true, nil
	case p.flags != branchFlag || p.count == 0 || depth > deepest:
		return part{}, 0, false, damage(p.id, "it has flags %#x and %d elements at level %d", p.flags, p.count, depth)
	}
	if !ok {
		at = max(0, at-1)
	}
	if at+1 < len(parts) {
		high = parts[at+1].key
	}
	return w.find(parts[at].child, key, parts[at].key, high, depth+1)
}

// slab keeps many small pieces in few large ones.
type slab struct{ room []byte }

// slabSize is how many bytes are made at once.
const slabSize = 64 << 10

func (s *slab) keep(piece []byte) []byte {
	if len(piece) > cap(s.room)-len(s.room) {
		s.room = make([]byte, 0, max(slabSize, len(piece)))
	}
	from := len(s.room)
	s.room = append(s.room, piece...)
	return s.room[from:len(s.room):len(s.room)]
}
