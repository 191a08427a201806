package storage

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"slices"
)

// A value in the book is sealed: one byte for the layout's version, four for a checksum (CRC-32C, little endian),
// then the content. The checksum covers the layout's version, what sort of value it is, the bow that it belongs to,
// its key and its content, so that a value that was moved is found out too.
const (
	layoutVersion  = 1
	envelopeLength = 5
)

// place is where a sealed value stands in the book.
type place struct {
	sort string // one of the names of buckets
	bow  string // "" where it belongs to none
	key  []byte
}

// String names the value for a message.
func (p place) String() string {
	switch p.sort {
	case sortEntries:
		return fmt.Sprintf("bow %s, entry %s", p.bow, storedItem{key: p.key}.name())
	case sortBows:
		return fmt.Sprintf("bow %s", string(p.key))
	case sortDrafts:
		return fmt.Sprintf("draft %s", string(p.key))
	case sortTags:
		return fmt.Sprintf("tag of bow %s", string(p.key))
	case sortSettings:
		return fmt.Sprintf("settings %x", p.key)
	}
	return "its head"
}

// mark is the checksum of what the places of a bucket's values have in common.
func mark(layout byte, sort, bow string) uint32 {
	head := append(make([]byte, 0, 64), layout)
	head = appendField(head, []byte(sort))
	head = appendField(head, []byte(bow))
	return crc32.Checksum(head, castagnoli())
}

// extend is the checksum of a value in the bucket of that mark.
func extend(mark uint32, key, content []byte) uint32 {
	sum := extendBySize(mark, len(key))
	sum = crc32.Update(sum, castagnoli(), key)
	return crc32.Update(sum, castagnoli(), content)
}

// extendBySize takes in the length that stands before a key. One that takes a single byte needs no memory, of which a million values would have much made.
func extendBySize(sum uint32, size int) uint32 {
	if size >= 0x80 {
		return crc32.Update(sum, castagnoli(), binary.AppendUvarint(nil, uint64(size)))
	}
	register := ^sum
	return ^(castagnoli()[byte(register)^byte(size)] ^ register>>8)
}

// markOf is the mark of the bucket in which a value is whole under that key: the checksum run backwards over all that
// came after the mark. ok is false where the value is none of this layout. A value that is not whole gives any mark.
func markOf(key, value []byte) (mark uint32, ok bool) {
	if len(value) < envelopeLength || value[0] != layoutVersion {
		return 0, false
	}
	table := castagnoli()
	var last [256]byte // the index of the table's value with that first byte; no two have the same
	for i, v := range table {
		last[v>>24] = byte(i)
	}
	register := ^binary.LittleEndian.Uint32(value[1:])
	size := binary.AppendUvarint(make([]byte, 0, binary.MaxVarintLen64), uint64(len(key)))
	for _, part := range [][]byte{value[envelopeLength:], key, size} {
		for _, b := range slices.Backward(part) {
			i := last[register>>24]
			register = (register^table[i])<<8 | uint32(i^b)
		}
	}
	return ^register, true
}

func castagnoli() *crc32.Table { return crc32.MakeTable(crc32.Castagnoli) }

// seal is the value that keeps fields at a place.
func seal(at place, fields ...[]byte) []byte {
	size := envelopeLength
	for _, field := range fields {
		size += binary.MaxVarintLen64 + len(field)
	}
	value := make([]byte, envelopeLength, size)
	for _, field := range fields {
		value = appendField(value, field)
	}
	value[0] = layoutVersion
	binary.LittleEndian.PutUint32(value[1:], extend(mark(layoutVersion, at.sort, at.bow), at.key, value[envelopeLength:]))
	return value
}

// unseal is what seal was given. The fields lie in the value. The error wraps ErrDamaged or ErrNewer.
func unseal(at place, value []byte) ([][]byte, error) {
	if len(value) < envelopeLength {
		return fieldsOf(value)
	}
	if value[0] != layoutVersion && fits(mark(value[0], at.sort, at.bow), at.key, value) {
		return nil, fmt.Errorf("%w: a value is laid out in a way (%d) that this version does not know", ErrNewer, value[0])
	}
	if err := sealed(mark(layoutVersion, at.sort, at.bow), at.key, value); err != nil {
		return nil, err
	}
	return fieldsOf(value)
}

// sealed compares a value with its checksum in the bucket of that mark.
func sealed(mark uint32, key, value []byte) error {
	if len(value) < envelopeLength {
		return fmt.Errorf("%w: a value of %d bytes is too short", ErrDamaged, len(value))
	}
	if value[0] != layoutVersion || !fits(mark, key, value) {
		return fmt.Errorf("%w: a checksum does not fit", ErrDamaged)
	}
	return nil
}

// fits compares a value with its checksum, whatever its layout says.
func fits(mark uint32, key, value []byte) bool {
	return extend(mark, key, value[envelopeLength:]) == binary.LittleEndian.Uint32(value[1:])
}

// fieldsOf are the fields of a sealed value, whatever its checksum. They lie in it.
func fieldsOf(value []byte) ([][]byte, error) {
	if len(value) < envelopeLength {
		return nil, fmt.Errorf("%w: a value of %d bytes is too short", ErrDamaged, len(value))
	}
	fields := make([][]byte, 0, 2) // of an entry
	for rest := value[envelopeLength:]; len(rest) > 0; {
		size, n := binary.Uvarint(rest)
		if n <= 0 || size > uint64(len(rest)-n) {
			return nil, fmt.Errorf("%w: a value ends early", ErrDamaged)
		}
		end := n + int(size)
		fields = append(fields, rest[n:end:end])
		rest = rest[end:]
	}
	return fields, nil
}

// appendField appends a field after its length.
func appendField(to, field []byte) []byte {
	return append(binary.AppendUvarint(to, uint64(len(field))), field...)
}
