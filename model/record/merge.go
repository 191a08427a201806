package record

import (
	"bytes"
	"slices"
	"time"
)

// Merged is what a record brings to a bow that a book already has.
type Merged struct {
	Add []Item // new entries, each with its key
	// Differ are ids that both have with different text; the book's own stays.
	Differ []string
}

// Merge finds the entries of come that have lacks, by id, and gives each a key that keeps the order of both:
// an entry made in another book keeps its own key; one whose id says no time follows the entry before it, or
// the time that it names. have must be in order of its keys.
func Merge(have, come []Item) Merged {
	known := make(map[string]Item, len(have))
	taken := make(map[Key]bool, len(have)+len(come))
	for _, item := range have {
		known[item.Entry.ID] = item
		taken[item.Key] = true
	}
	var merged Merged
	var last Key
	for _, item := range come {
		if mine, isKnown := known[item.Entry.ID]; isKnown {
			if !bytes.Equal(mine.Doc, item.Doc) {
				merged.Differ = append(merged.Differ, item.Entry.ID)
			}
			last = mine.Key
			continue
		}
		item.Key = keyAfter(last, item)
		for taken[item.Key] {
			item.Key = item.Key.Next()
		}
		taken[item.Key], known[item.Entry.ID] = true, item
		last = item.Key
		merged.Add = append(merged.Add, item)
	}
	return merged
}

// lastKey bounds the ids that are taken for keys. It lies far from the end of all keys, so that there is always a next.
var lastKey = keyAt(time.Date(9999, time.December, 31, 23, 59, 59, 0, time.UTC), "")

// keyAfter is the key of a new item that follows an entry with the key last in its record.
func keyAfter(last Key, item Item) Key {
	if key, isULID := KeyOf(item.Entry.ID); isULID && key.Compare(last) > 0 && key.Compare(lastKey) < 0 {
		return key
	}
	if key := keyAt(item.Entry.At, item.Entry.ID); !item.Entry.At.IsZero() && key.Compare(last) > 0 {
		return key
	}
	return last.Next()
}

// SortItems puts items in order of their keys.
func SortItems(items []Item) {
	slices.SortFunc(items, func(a, b Item) int { return a.Key.Compare(b.Key) })
}
