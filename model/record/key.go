package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"math/bits"
	"strconv"
	"time"

	"github.com/oklog/ulid/v2"

	"bendbook/model/plain"
)

// longestID is the longest id or kind of an entry, in bytes.
const longestID = 200

// Key is an entry's place among the entries of its bow: a time-sortable identifier (ULID), milliseconds first.
// An entry that is made here has its key as its id; one that comes from elsewhere is given a key on import.
type Key [16]byte

// Compare orders keys by time: negative where k comes before other.
func (k Key) Compare(other Key) int { return bytes.Compare(k[:], other[:]) }

// IsZero says whether the key was not given yet.
func (k Key) IsZero() bool { return k == Key{} }

// String is the key as an id.
func (k Key) String() string { return ulid.ULID(k).String() }

// KeyOf is the key that an id stands for; ok is false for an id that is no ULID.
func KeyOf(id string) (key Key, ok bool) {
	u, err := ulid.ParseStrict(id)
	return Key(u), err == nil
}

// Next is the key that directly follows k.
func (k Key) Next() Key {
	for i := len(k) - 1; i >= 0; i-- {
		k[i]++
		if k[i] != 0 {
			break
		}
	}
	return k
}

// behind is a key behind k, by a step of at most so many bits, no more than 64, that follows from an id.
func (k Key) behind(id string, most int) Key {
	sum := sha256.Sum256([]byte(id))
	step := binary.BigEndian.Uint64(sum[8:]) >> (64 - most)
	low, carry := bits.Add64(binary.BigEndian.Uint64(k[8:]), step|1, 0)
	binary.BigEndian.PutUint64(k[8:], low)
	binary.BigEndian.PutUint64(k[:8], binary.BigEndian.Uint64(k[:8])+carry)
	return k
}

// keyAt is the first key of the millisecond of t, spread by the id so that entries of different books that say
// the same time seldom meet.
func keyAt(t time.Time, id string) Key {
	var u ulid.ULID
	if ms := t.UnixMilli(); ms > 0 && uint64(ms) <= ulid.MaxTime() {
		// The time was bounded just above, so setting it cannot fail.
		_ = u.SetTime(uint64(ms))
	}
	sum := sha256.Sum256([]byte(id))
	copy(u[6:], sum[:8])
	return Key(u)
}

// derivedID is the id of an entry whose record gives none: it follows from the bow, the entry's text and how often the
// same text stood before, so that the same record gives the same ids at each import. seen counts within one record.
func derivedID(bow string, doc json.RawMessage, seen map[string]int) string {
	// An export spells steering characters out, and must give the same id.
	sum := sha256.Sum256(append([]byte(bow+"\x00"), plain.JSON(doc)...))
	id := "doc-" + hex.EncodeToString(sum[:12])
	seen[id]++
	if n := seen[id]; n > 1 {
		sum = sha256.Sum256([]byte(id + strconv.Itoa(n)))
		id = "doc-" + hex.EncodeToString(sum[:12])
	}
	return id
}
