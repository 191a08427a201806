package storage

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
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

func (p place) checksum(layout byte, content []byte) uint32 {
	var head []byte
	head = append(head, layout)
	head = appendField(head, []byte(p.sort))
	head = appendField(head, []byte(p.bow))
	head = appendField(head, p.key)
	table := crc32.MakeTable(crc32.Castagnoli)
	return crc32.Update(crc32.Checksum(head, table), table, content)
}

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
	binary.LittleEndian.PutUint32(value[1:], at.checksum(layoutVersion, value[envelopeLength:]))
	return value
}

// unseal is what seal was given. The fields are copies of their own. The error wraps ErrDamaged or ErrNewer.
func unseal(at place, value []byte) ([][]byte, error) {
	switch {
	case len(value) < envelopeLength:
		return nil, fmt.Errorf("%w: a value of %d bytes is too short", ErrDamaged, len(value))
	case at.checksum(value[0], value[envelopeLength:]) != binary.LittleEndian.Uint32(value[1:]):
		return nil, fmt.Errorf("%w: a checksum does not fit", ErrDamaged)
	case value[0] != layoutVersion:
		return nil, fmt.Errorf("%w: a value is laid out in a way (%d) that this version does not know", ErrNewer, value[0])
	}
	var fields [][]byte
	for rest := bytes.Clone(value[envelopeLength:]); len(rest) > 0; {
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
