package record

import (
	"bytes"
	"slices"
	"time"

	"bendbook/model/plain"
)

// Merged is what a record adds to a bow that the book already has.
type Merged struct {
	Add []Item // new entries, each with its key
	// Differ are ids that both have with different text; the book's own stays.
	Differ []string
}

// Merge finds the entries of come whose ids have lacks, and gives each a key that keeps the order of come:
// its own, or one of its time, or, where those are too early, the next one.
func Merge(have, come []Item) Merged {
	known := make(map[string]Item, len(have))
	taken := make(map[Key]bool, len(have)+len(come))
	for _, item := range have {
		known[item.Entry.ID] = item
		taken[item.Key] = true
	}
	// A key near the very last would leave no room for more.
	end := keyAt(time.Date(9999, time.December, 31, 23, 59, 59, 0, time.UTC), "")
	var merged Merged
	var last Key
	for _, item := range come {
		if mine, isKnown := known[item.Entry.ID]; isKnown {
			// An export escapes steering characters.
			if !bytes.Equal(plain.JSON(mine.Doc), plain.JSON(item.Doc)) {
				merged.Differ = append(merged.Differ, item.Entry.ID)
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
		merged.Add = append(merged.Add, item)
	}
	return merged
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
