package storage

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/fnv"
	"io"
)

// What bbolt v1.5 writes at the head of its files (internal/common/meta.go, page.go), little endian on every machine
// that this program is built for: pages 0 and 1 are the meta pages, written in turn, each a page header and then the
// fields below with a checksum (FNV-1a, 64 bits) over those before it.
const (
	pageHeader   = 16
	metaLength   = 64
	metaMagic    = 0xED0CDAED
	metaVersion  = 2
	noFreelist   = 1<<64 - 1
	smallestPage = 1 << 10
	largestPage  = 1 << 24
)

// metaPage is what a meta page says.
type metaPage struct {
	pageSize int64
	root     uint64 // page of the root bucket
	freelist uint64 // page of the list of free pages
	high     uint64 // number of pages in use
	tx       uint64 // the transaction that wrote it
}

// length is the part of the file that it speaks of.
func (m metaPage) length() int64 { return int64(m.high) * m.pageSize }

// errNoMeta says that bytes are no meta page, errTornMeta that they are one which was not written to its end.
var (
	errNoMeta   = errors.New("no meta page")
	errTornMeta = errors.New("a meta page's checksum does not fit")
)

// parseMeta reads a meta page from its first bytes.
func parseMeta(page []byte) (metaPage, error) {
	if len(page) < pageHeader+metaLength {
		return metaPage{}, errNoMeta
	}
	m := page[pageHeader : pageHeader+metaLength]
	u32, u64 := binary.LittleEndian.Uint32, binary.LittleEndian.Uint64
	if u32(m) != metaMagic || u32(m[4:]) != metaVersion {
		return metaPage{}, errNoMeta
	}
	sum := fnv.New64a()
	_, _ = sum.Write(m[:56]) // a hash takes everything
	if sum.Sum64() != u64(m[56:]) {
		return metaPage{}, errTornMeta
	}
	return metaPage{pageSize: int64(u32(m[8:])), root: u64(m[16:]), freelist: u64(m[32:]), high: u64(m[40:]), tx: u64(m[48:])}, nil
}

// metas are both meta pages of a file as they were read at one moment.
type metas struct {
	current metaPage
	// raw is each page's header and meta, for comparing and for writing again.
	raw [2][]byte
}

// length is the part of the file that the current meta page speaks of.
func (m metas) length() int64 { return m.current.length() }

// readMetas reads the meta pages of a file of the given size. The error wraps ErrEmpty, ErrForeign or ErrDamaged.
func readMetas(file io.ReaderAt, size int64) (metas, error) {
	if size == 0 {
		return metas{}, ErrEmpty
	}
	read := func(at int64) ([]byte, metaPage, error) {
		raw := make([]byte, pageHeader+metaLength)
		n, err := file.ReadAt(raw, at)
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, metaPage{}, err
		}
		meta, err := parseMeta(raw[:n])
		return raw, meta, err
	}
	first, meta, err := read(0)
	torn := errors.Is(err, errTornMeta)
	if err != nil && !torn && !errors.Is(err, errNoMeta) {
		return metas{}, err
	}
	// Where the first page does not tell the size of a page, the second is looked for at each possible place.
	from, to := int64(smallestPage), int64(largestPage)
	found := err == nil
	if found {
		from, to = meta.pageSize, meta.pageSize
	}
	m := metas{current: meta, raw: [2][]byte{0: first}}
	for at := from; at > 0 && at <= to; at *= 2 {
		second, other, err := read(at)
		if err != nil {
			torn = torn || errors.Is(err, errTornMeta)
			if found {
				m.raw[1] = second
			}
			continue
		}
		if other.pageSize != at {
			continue
		}
		if !found || other.tx > meta.tx {
			m.current = other
		}
		m.raw[1], found = second, true
		break
	}
	switch {
	case !found && torn:
		return metas{}, fmt.Errorf("%w: both of its head pages", ErrDamaged)
	case !found:
		return metas{}, ErrForeign
	}
	if err := m.current.fits(size); err != nil {
		return metas{}, err
	}
	return m, nil
}

// fits says why a meta page cannot be that of a book in a file of the given size, by an error that wraps ErrForeign or ErrDamaged.
func (m metaPage) fits(size int64) error {
	switch {
	case m.pageSize < smallestPage || m.pageSize > largestPage || m.pageSize&(m.pageSize-1) != 0:
		return fmt.Errorf("%w: a page of %d bytes", ErrDamaged, m.pageSize)
	case m.freelist == noFreelist:
		// This program never writes such a file, and bbolt would write to it on opening.
		return ErrForeign
	case m.high < 4 || m.high > uint64(1)<<40/uint64(m.pageSize):
		return fmt.Errorf("%w: %d pages", ErrDamaged, m.high)
	case m.length() > size:
		return fmt.Errorf("%w: it ends early, after %d of %d bytes", ErrDamaged, size, m.length())
	case m.root < 2 || m.root >= m.high || m.freelist < 2 || m.freelist >= m.high:
		return fmt.Errorf("%w: its head points outside of it", ErrDamaged)
	}
	return nil
}
