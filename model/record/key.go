package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"strconv"
	"time"

	"github.com/oklog/ulid/v2"

	"bendbook/model/plain"
)

// longestID is the longest id or kind of an entry, in bytes.
const longestID = 200

// Key is an entry's place among the entries of its bow: a time-sortable identifier (ULID), milliseconds
// first. An entry that is made here has its key as its id; others get one on import.
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
		if k[i]++; k[i] != 0 {
			break
		}
	}
	return k
}

// ownKey is the key that an item has by its id, or by its time; zero where neither says one.
func ownKey(item Item) Key {
	if key, isULID := KeyOf(item.Entry.ID); isULID || item.Entry.At.IsZero() {
		return key
	}
	return keyAt(item.Entry.At, item.Entry.ID)
}

// keyAt is a key of the millisecond of t, spread by the id.
func keyAt(t time.Time, id string) Key {
	var u ulid.ULID
	sum := sha256.Sum256([]byte(id))
	copy(u[6:], sum[:])
	// A record's times are of years that fit.
	_ = u.SetTime(uint64(max(t.UnixMilli(), 0)))
	return Key(u)
}

// derivedID is the id of an entry whose record gives none. It follows from the bow, the entry's text and how
// often the same text stood before, so that each import gives the same ids. seen counts within one record.
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
