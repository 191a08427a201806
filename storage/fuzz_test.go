package storage

import (
	"bytes"
	"encoding/binary"
	"errors"
	"reflect"
	"testing"

	"bendbook/model/measure"
	"bendbook/model/record"
)

// FuzzStored takes any bytes for what stands in the book under an entry's key: they are an entry that is sealed again to the same
// bytes, or an error that says damage; never a panic. With whole, the checksum is made to fit, as it does where a stranger wrote the book.
func FuzzStored(f *testing.F) {
	key := record.Key{5: 1, 15: 7}
	for _, doc := range []string{`{"kind":"note","text":"x"}`, `{"id":"a","kind":"pull","draw":18,"peak":41.2}`, `{`, "", `{"kind":"bow","set":{"name":"\u202e"}}`} {
		sealed := seal(place{sortEntries, "b", key[:]}, []byte("a"), []byte(doc))
		f.Add(sealed, false)
		f.Add(sealed, true)
		f.Add(sealed[:len(sealed)/2], true)
	}
	f.Add([]byte{layoutVersion, 0, 0, 0, 0, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 1}, true)
	f.Fuzz(func(t *testing.T, value []byte, whole bool) {
		at := place{sortEntries, "b", key[:]}
		if value = bytes.Clone(value); whole && len(value) >= envelopeLength {
			binary.LittleEndian.PutUint32(value[1:], extend(mark(value[0], at.sort, at.bow), at.key, value[envelopeLength:]))
		}
		for _, units := range []measure.Units{measure.Imperial(), {Length: measure.Millimetre, Force: measure.Newton}} {
			stored := storedItem{"b", key[:], value}
			item, err := stored.item(units)
			if err != nil {
				if !whole && !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrNewer) && stored.whole() != nil {
					t.Fatalf("%x: %v says neither damage nor a newer version", value, err)
				}
				continue
			}
			again := storedItem{"b", key[:], sealItem("b", item)}
			if kept, err := again.item(units); err != nil || !reflect.DeepEqual(kept, item) {
				t.Fatalf("%+v became %+v (%v)", item, kept, err)
			}
		}
	})
}
