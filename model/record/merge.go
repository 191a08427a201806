package record

import (
	"bytes"
	"slices"
	"time"

	"bendbook/model/plain"
)

// Merged is what a record brings to a bow that a book already has.
type Merged struct {
	Add []Item // new entries, each with its key
	// Differ are ids that both have with different text; the book's own stays.
	Differ []string
}

// Merge finds the entries of come that have lacks, by id, and gives each a key that keeps the order of both:
// an entry made in another book keeps its own key; one whose id says no time follows the entry before it, or
// the time that it names. have must be in order of its keys. An item that has a key already keeps it where it fits.
// The keys follow from the record alone, so that books which took in several records come to the same order, whichever came first.
func Merge(have, come []Item) Merged {
	known := make(map[string]Item, len(have))
	taken := make(map[Key]bool, len(have)+len(come))
	for _, item := range have {
		known[item.Entry.ID] = item
		taken[item.Key] = true
	}
	var merged Merged
	var last Item
	for _, item := range come {
		if mine, isKnown := known[item.Entry.ID]; isKnown {
			// What came through an export has its steering characters spelled out.
			if !bytes.Equal(plain.JSON(mine.Doc), plain.JSON(item.Doc)) {
				merged.Differ = append(merged.Differ, item.Entry.ID)
			}
			last = mine
			continue
		}
		item.Key = keyAfter(last, item)
		for taken[item.Key] {
			item.Key = item.Key.Next()
		}
		taken[item.Key], known[item.Entry.ID] = true, item
		last = item
		merged.Add = append(merged.Add, item)
	}
	return merged
}

// lastKey bounds the ids that are taken for keys. It lies far from the end of all keys, so that there is always a next.
var lastKey = keyAt(time.Date(9999, time.December, 31, 23, 59, 59, 0, time.UTC), "")

// keyAfter is the key of a new item that follows another in its record; the zero Item is none.
func keyAfter(last, item Item) Key {
	if !item.Key.IsZero() && item.Key.Compare(last.Key) > 0 && item.Key.Compare(lastKey) < 0 {
		return item.Key
	}
	for _, key := range ownKeys(item) {
		if key.Compare(last.Key) > 0 && key.Compare(lastKey) < 0 {
			return key
		}
	}
	return last.Key.behind(item.Entry.ID, stepBehind(last))
}

// ownKeys are the keys that an item may have by what it says itself: by its id, and by its time.
func ownKeys(item Item) []Key {
	var keys []Key
	if key, isULID := KeyOf(item.Entry.ID); isULID {
		keys = append(keys, key)
	}
	if !item.Entry.At.IsZero() {
		keys = append(keys, keyAt(item.Entry.At, item.Entry.ID))
	}
	return keys
}

// Of what follows one and the same entry in different records, the first goes far behind it, to a place by its id, and the
// rest closely behind the first: records then lie one behind the other in every book and do not mix. The bits of
// the steps leave it a chance of one in millions that they meet, or that they reach the next millisecond.
const (
	farBehind   = 56
	closeBehind = 24
)

// stepBehind is how far behind an item the next one goes, in bits.
func stepBehind(last Item) int {
	if last.Key.IsZero() || slices.Contains(ownKeys(last), last.Key) {
		return farBehind
	}
	return closeBehind
}

// SortItems puts items in order of their keys.
func SortItems(items []Item) {
	slices.SortFunc(items, func(a, b Item) int { return a.Key.Compare(b.Key) })
}
