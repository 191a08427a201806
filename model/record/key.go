package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math/bits"
	"slices"
	"strconv"
	"time"

	"github.com/oklog/ulid/v2"

	"bendbook/model/plain"
)

// longestID is the longest id or kind of an entry, in bytes.
const longestID = 200

// Key sorts the entries of a bow: a ULID, which begins with the time in milliseconds. An entry made here has
// its key as its id; others get one on import.
type Key [16]byte

// Compare orders keys by time: negative where k comes before other.
func (k Key) Compare(other Key) int { return bytes.Compare(k[:], other[:]) }

// IsZero reports whether the item has no key yet.
func (k Key) IsZero() bool { return k == Key{} }

// String is the key as an id.
func (k Key) String() string { return ulid.ULID(k).String() }

// KeyOf is the key that an id stands for; ok is false for an id that is no ULID.
func KeyOf(id string) (key Key, ok bool) {
	u, err := ulid.ParseStrict(id)
	return Key(u), err == nil
}

// Next is the key that directly follows k.
func (k Key) Next() Key { return k.Plus(1) }

// Plus is the key so many steps after k.
func (k Key) Plus(steps uint64) Key {
	low, carry := bits.Add64(binary.BigEndian.Uint64(k[8:]), steps, 0)
	binary.BigEndian.PutUint64(k[8:], low)
	binary.BigEndian.PutUint64(k[:8], binary.BigEndian.Uint64(k[:8])+carry)
	return k
}

// together is the step between the keys of entries that are written in one go. Other keys are steps of chance
// apart, and a correction goes between two.
const together = 1 << 32

// Together is the key of the entry that is written in one go with k's, directly after it.
func (k Key) Together() Key { return k.Plus(together) }

// Between is a key soon after k and before another, by a random step: two books that correct the same entry
// must not give the same id to different ones. ok is false where there is no room.
func (k Key) Between(later Key, random uint64) (key Key, ok bool) {
	for step := random % together; step > 0; step /= 2 {
		if key = k.Plus(step); key.Compare(later) < 0 {
			return key, true
		}
	}
	return Key{}, false
}

// keyAt makes a key from the millisecond of t and a hash of the id.
func keyAt(t time.Time, id string) Key {
	var u ulid.ULID
	sum := sha256.Sum256([]byte(id))
	copy(u[6:], sum[:])
	_ = u.SetTime(uint64(max(t.UnixMilli(), 0))) // up to the year 9999 it fits
	return Key(u)
}

// derivedID makes an id for an entry whose record gives none. It hashes the bow's id, the entry's text and
// how often the same text came before, so that each import gives the same ids. seen counts within one record.
func derivedID(bow string, doc json.RawMessage, seen map[string]int) string {
	hash := func(text string) string { return fmt.Sprintf("doc-%x", sha256.Sum256([]byte(text)))[:28] }
	// An export escapes steering characters, and must give the same id.
	id := hash(bow + "\x00" + string(plain.JSON(doc)))
	if seen[id]++; seen[id] > 1 {
		return hash(id + strconv.Itoa(seen[id]))
	}
	return id
}

// Merge finds the entries of come whose ids have lacks, and gives each a key that keeps the order of come:
// its own, or one of its time, or, where those are too early, the next one. differ are ids that both have
// with different text.
func Merge(have, come []Item) (add []Item, differ []string) {
	known := make(map[string]Item, len(have))
	taken := make(map[Key]bool, len(have)+len(come))
	for _, item := range have {
		known[item.Entry.ID] = item
		taken[item.Key] = true
	}
	// A key near the very last would leave no room for more.
	end := keyAt(time.Date(9999, time.December, 31, 23, 59, 59, 0, time.UTC), "")
	var last Key
	for _, item := range come {
		if mine, isKnown := known[item.Entry.ID]; isKnown {
			// An export escapes steering characters.
			if !bytes.Equal(plain.JSON(mine.Doc), plain.JSON(item.Doc)) {
				differ = append(differ, item.Entry.ID)
			}
			last = mine.Key
			continue
		}
		item.Key = ownKey(item)
		if item.Key.Compare(last) <= 0 || item.Key.Compare(end) >= 0 {
			item.Key = last.Next()
		}
		for taken[item.Key] {
			item.Key = item.Key.Next()
		}
		taken[item.Key], known[item.Entry.ID] = true, item
		last = item.Key
		add = append(add, item)
	}
	return add, differ
}

// ownKey is an item's key by its id or its time; zero where it has neither.
func ownKey(item Item) Key {
	if key, isULID := KeyOf(item.Entry.ID); isULID || item.Entry.At.IsZero() {
		return key
	}
	return keyAt(item.Entry.At, item.Entry.ID)
}

// SortItems puts items in order of their keys.
func SortItems(items []Item) {
	slices.SortFunc(items, func(a, b Item) int { return a.Key.Compare(b.Key) })
}
