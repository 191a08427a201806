package storage

import (
	"bytes"
	"encoding/binary"
	"slices"
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

// page is one page with those that it runs over to.
type page struct {
	id    uint64
	flags uint16
	count int
	bytes []byte
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
