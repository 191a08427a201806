package storage

import (
	"encoding/binary"
	"errors"
	"io"
)

// raw is a book's file, read page by page whatever its state: nothing that stands in it is believed before a checksum
// has shown it.
type raw struct {
	file     io.ReaderAt
	size     int64
	pageSize int64
	// budget is how many bytes of values beyond their own page may still be read. A whole file needs its size once;
	// one that was made to claim more of itself again and again comes to an end.
	budget int64
}

func newRaw(file io.ReaderAt, size, pageSize int64) *raw {
	return &raw{file: file, size: size, pageSize: pageSize, budget: 4*size + 1<<20}
}

// longestKey is the longest key that bbolt takes.
const longestKey = 32768

// element is one element of a leaf page, as far as it lies within the file.
type element struct {
	bucket     bool
	key, value []byte
	at         int64 // of the value, in the file
}

// pages is the number of pages, the last of which may be cut short.
func (r *raw) pages() uint64 { return uint64((r.size + r.pageSize - 1) / r.pageSize) }

// page is the first bytes of a page, which may be fewer than its size where the file ends, or the disk fails.
func (r *raw) page(id uint64) []byte {
	into := make([]byte, r.pageSize)
	n, _ := r.file.ReadAt(into, int64(id)*r.pageSize) // what cannot be read is not there
	return into[:n]
}

// bytes are size bytes of the file, from the page that was read at start where they lie in it. ok is false where they
// are not to be had.
func (r *raw) bytes(page []byte, start, at, size int64) (found []byte, ok bool) {
	if at < start || size < 0 || at > r.size-size {
		return nil, false
	}
	if at+size <= start+int64(len(page)) {
		return page[at-start : at-start+size], true
	}
	if r.budget -= size; r.budget < 0 {
		return nil, false
	}
	found = make([]byte, size)
	n, err := r.file.ReadAt(found, at)
	return found, int64(n) == size && (err == nil || errors.Is(err, io.EOF))
}

// leaf calls visit for the elements of what may be a leaf page, which begins at start in the file. It believes the page's
// header no more than the place of its first key, which tells the number of elements too.
func (r *raw) leaf(page []byte, start int64, visit func(element)) {
	u32 := binary.LittleEndian.Uint32
	if len(page) < pageHeader+elementLength {
		return
	}
	count := max(int(binary.LittleEndian.Uint16(page[10:])), int(u32(page[pageHeader+4:])/elementLength))
	count = min(count, (len(page)-pageHeader)/elementLength)
	small := int64(4 * len(page)) // elements of a whole page do not overlap
	for i := range count {
		at := pageHeader + i*elementLength
		flags, keySize, valueSize := u32(page[at:]), int64(u32(page[at+8:])), int64(u32(page[at+12:]))
		if flags&^bucketElement != 0 || keySize == 0 || keySize > longestKey {
			continue
		}
		if keySize+valueSize <= int64(len(page)) {
			if small -= keySize + valueSize; small < 0 {
				return
			}
		}
		keyAt := start + int64(at) + int64(u32(page[at+4:]))
		key, ok := r.bytes(page, start, keyAt, keySize)
		if !ok {
			continue
		}
		value, ok := r.bytes(page, start, keyAt+keySize, valueSize)
		if !ok {
			continue
		}
		visit(element{bucket: flags == bucketElement, key: key, value: value, at: keyAt + keySize})
	}
}

// branchKeys calls visit for the keys of what says to be a branch page.
func (r *raw) branchKeys(page []byte, start int64, visit func(key []byte)) {
	u32 := binary.LittleEndian.Uint32
	if len(page) < pageHeader || binary.LittleEndian.Uint16(page[8:]) != branchFlag {
		return
	}
	count := min(int(binary.LittleEndian.Uint16(page[10:])), (len(page)-pageHeader)/elementLength)
	for i := range count {
		at := pageHeader + i*elementLength
		keySize := int64(u32(page[at+4:]))
		if keySize == 0 || keySize > int64(len(page)) {
			continue
		}
		if key, ok := r.bytes(page, start, start+int64(at)+int64(u32(page[at:])), keySize); ok {
			visit(key)
		}
	}
}
