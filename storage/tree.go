package storage

import (
	"encoding/binary"
	"fmt"
)

// tree walks the pages of one state of a book for a salvage, and goes on behind what is damaged.
type tree struct {
	walker
	*salvage
	of state
}

// walk reads the pages of a shelf below the page id, whose keys are from low up to but without high (nil: no bound).
func (t *tree) walk(id uint64, in shelf, low, high []byte, depth int) {
	p, parts, err := t.parts(id, low, high, depth)
	if err != nil {
		t.miss(in, low, err)
		return
	}
	// Only as far as its elements go: that it runs over to further pages may be what is wrong with it.
	end := pageHeader
	if len(parts) > 0 {
		last := parts[len(parts)-1]
		end = last.at + len(last.value)
	}
	for i := range uint64(int64(end)+t.meta.pageSize-1) / uint64(t.meta.pageSize) {
		t.held[id+i] = true
	}
	if p.flags == leafFlag {
		t.leaf(parts, in, int64(id)*t.meta.pageSize)
		return
	}
	for i, part := range parts {
		if in.sort == sortBows || in == (shelf{sort: sortEntries}) {
			t.bows[string(part.key)] = true
		}
		below := high
		if i+1 < len(parts) {
			below = parts[i+1].key
		}
		t.walk(part.child, in, part.key, below, depth+1)
	}
}

// parts are a page's elements, where it is as bbolt writes it.
func (t *tree) parts(id uint64, low, high []byte, depth int) (page, []part, error) {
	p, err := t.read(id)
	if err != nil {
		return p, nil, err
	}
	branch := p.flags == branchFlag && p.count > 0 && depth <= deepest
	if !branch && (p.flags != leafFlag || p.count == 0 && depth > 0) {
		return p, nil, damage(id, "it has flags %#x and %d elements at level %d", p.flags, p.count, depth)
	}
	parts, err := p.parts(nil, low, high)
	return p, parts, err
}

// miss notes what cannot be read. Of an earlier state that says nothing.
func (t *tree) miss(in shelf, from []byte, err error) {
	if t.of == newest {
		t.gap(in, from, err)
	}
}

// leaf takes the elements of a leaf page that begins at start in the file.
func (t *tree) leaf(parts []part, in shelf, start int64) {
	for _, part := range parts {
		at := start + int64(part.at)
		switch {
		case part.flags == bucketElement:
			t.bucket(part, in, at)
		case in.sort == "":
			t.miss(in, nil, fmt.Errorf("%w: it has a value of its own", ErrDamaged))
		default:
			t.value(part, in, at)
		}
	}
}

// bucket walks the bucket that an element is.
func (t *tree) bucket(part part, in shelf, at int64) {
	inner := in.within(string(part.key))
	if inner == (shelf{}) {
		t.miss(in, nil, fmt.Errorf("%w: it has a part %q", ErrDamaged, string(part.key)))
		return
	}
	if inner.bow != "" {
		t.bows[inner.bow] = true
	}
	t.open(inner)
	if len(part.value) < bucketHeader {
		t.miss(inner, nil, fmt.Errorf("%w: a part of %d bytes", ErrDamaged, len(part.value)))
		return
	}
	if root := binary.LittleEndian.Uint64(part.value); root != 0 {
		t.walk(root, inner, nil, nil, 0)
		return
	}
	inline := part.value[bucketHeader:]
	if len(inline) < pageHeader {
		t.miss(inner, nil, fmt.Errorf("%w: a part of %d bytes", ErrDamaged, len(part.value)))
		return
	}
	p := page{flags: binary.LittleEndian.Uint16(inline[8:]), count: int(binary.LittleEndian.Uint16(inline[10:])), bytes: inline}
	parts, err := p.parts(nil, nil, nil)
	if err == nil && p.flags != leafFlag {
		err = fmt.Errorf("%w: a part with flags %#x", ErrDamaged, p.flags)
	}
	if err == nil {
		t.leaf(parts, inner, at+bucketHeader)
		return
	}
	t.miss(inner, nil, err)
	// The page on which it stands is held, so that no scan comes to it.
	t.raw.leaf(inline, at+bucketHeader, func(e element) { t.sort(e, false) })
}

// value takes a value that should be whole where it stands.
func (t *tree) value(part part, in shelf, at int64) {
	if in.sort == sortBows {
		t.bows[string(part.key)] = true
	}
	if err := sealed(mark(layoutVersion, in.sort, in.bow), part.key, part.value); err != nil {
		if t.of == newest {
			t.flaw(flaw{in, string(part.key), at, fmt.Errorf("%s: %w", place{in.sort, in.bow, part.key}, err)})
		}
		// It may be whole in another place.
		t.sort(element{key: part.key, value: part.value, at: at}, false)
		return
	}
	t.keep(in, string(part.key), spot{at: at, size: int64(len(part.value)), from: t.of})
}
