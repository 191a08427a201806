package storage

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/record"
)

// likeness is the book as it should be, in memory.
type likeness struct {
	bows   map[string]record.Record
	drafts map[string][]byte
}

// TestBookIsLikeItsLikeness does random things to a book and to a likeness of it in memory, with reopenings
// and copies in between, and compares them.
func TestBookIsLikeItsLikeness(t *testing.T) {
	t.Parallel()
	folder, books := t.TempDir(), 0
	rapid.Check(t, func(r *rapid.T) {
		books++
		path := filepath.Join(folder, fmt.Sprintf("%d.book", books))
		book := reopen(r, path, Options{})
		defer func() { _ = book.Close() }()
		like := likeness{make(map[string]record.Record), make(map[string][]byte)}
		ids := rapid.SampledFrom([]string{"ash 1", "ash", "Ash", "\x00", "e\u0301"})
		draftKeys := rapid.SampledFrom([]string{"new", "pull/ash", "pull/Ash"})
		keys := rapid.SliceOfN(rapid.IntRange(1, 60), 0, 5)
		r.Repeat(map[string]func(*rapid.T){
			"add a bow": func(r *rapid.T) {
				rec, draft := bow(t, ids.Draw(r, "bow"), 0), rapid.OneOf(rapid.Just(""), draftKeys).Draw(r, "draft")
				for _, n := range keys.Draw(r, "keys") {
					rec.Items = append(rec.Items, pull(t, n))
				}
				like.addBow(r, rec, draft, book.AddBow(rec, draft))
			},
			"add entries": func(r *rapid.T) {
				id, draft := ids.Draw(r, "bow"), rapid.OneOf(rapid.Just(""), draftKeys).Draw(r, "draft")
				var items []record.Item
				for _, n := range keys.Draw(r, "keys") {
					items = append(items, pull(t, n))
				}
				like.addItems(r, id, items, draft, book.AddItems(id, items, draft))
			},
			"save a draft": func(r *rapid.T) {
				key, doc := draftKeys.Draw(r, "key"), rapid.SliceOfN(rapid.Byte(), 0, 9000).Draw(r, "doc")
				mustDo(r, book.SaveDraft(key, doc))
				like.drafts[key] = doc
			},
			"drop a draft": func(r *rapid.T) {
				key := draftKeys.Draw(r, "key")
				mustDo(r, book.DropDraft(key))
				delete(like.drafts, key)
			},
			"reopen": func(r *rapid.T) {
				mustDo(r, book.Close())
				book = reopen(r, path, Options{})
			},
			"look at a copy": func(r *rapid.T) {
				view := reopen(r, path, Options{ReadOnly: true})
				like.compare(r, view)
				mustDo(r, view.Close())
			},
			"compare": func(r *rapid.T) { like.compare(r, book) },
		})
		mustDo(r, book.Close())
		book = reopen(r, path, Options{})
		like.compare(r, book)
		whole(t, path)
	})
}

func reopen(r *rapid.T, path string, opts Options) *Book {
	book, err := Open(path, opts)
	mustDo(r, err)
	return book
}

func mustDo(r *rapid.T, err error) {
	if err != nil {
		r.Fatal(err)
	}
}

// merged are items with more in order of their keys; ok is false where a key is taken.
func merged(items, more []record.Item) (all []record.Item, ok bool) {
	all = slices.Concat(items, more)
	record.SortItems(all)
	for i := range all {
		if i > 0 && all[i].Key == all[i-1].Key {
			return nil, false
		}
	}
	return all, true
}

func (l likeness) addBow(r *rapid.T, rec record.Record, draft string, err error) {
	_, known := l.bows[rec.Bow.ID]
	items, ok := merged(nil, rec.Items)
	if ok = ok && !known; ok != (err == nil) || err != nil && !errors.Is(err, ErrTaken) {
		r.Fatalf("adding bow %q: got %v, expected to go well: %v", rec.Bow.ID, err, ok)
	}
	if ok {
		rec.Items = items
		l.bows[rec.Bow.ID] = rec
		delete(l.drafts, draft)
	}
}

func (l likeness) addItems(r *rapid.T, id string, more []record.Item, draft string, err error) {
	rec, known := l.bows[id]
	items, ok := merged(rec.Items, more)
	switch {
	case !known && !errors.Is(err, ErrNoBow), known && !ok && !errors.Is(err, ErrTaken), known && ok && err != nil:
		r.Fatalf("adding to bow %q: got %v; bow known: %v, keys free: %v", id, err, known, ok)
	case known && ok:
		rec.Items = items
		l.bows[id] = rec
		delete(l.drafts, draft)
	}
}

func (l likeness) compare(r *rapid.T, book *Book) {
	found := make(map[string]bool)
	mustDo(r, book.Bows(func(desc record.Description) error {
		found[desc.Bow.ID] = true
		if want := l.bows[desc.Bow.ID].Description; !reflect.DeepEqual(desc, want) {
			r.Fatalf("bow %q is %+v, not %+v", desc.Bow.ID, desc, want)
		}
		return nil
	}))
	if len(found) != len(l.bows) {
		r.Fatalf("found bows %v, not %v", found, slices.Collect(maps.Keys(l.bows)))
	}
	for id, rec := range l.bows {
		items, err := book.Items(id)
		mustDo(r, err)
		if len(items)+len(rec.Items) > 0 && !reflect.DeepEqual(items, rec.Items) {
			r.Fatalf("entries of %q are %+v, not %+v", id, items, rec.Items)
		}
	}
	for _, key := range []string{"new", "pull/ash", "pull/Ash"} {
		doc, ok, err := book.Draft(key)
		mustDo(r, err)
		if want, known := l.drafts[key]; ok != known || !bytes.Equal(doc, want) {
			r.Fatalf("draft %q is %v %q, not %v %q", key, ok, doc, known, want)
		}
	}
	if report, err := Check(book.path, Options{}); err != nil || !report.Whole() {
		r.Fatalf("check: %v, %v", report.Lines(), err)
	}
}
