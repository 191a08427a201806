package storage

import (
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/record"
)

// likeness is the book as it should be, in memory.
type likeness struct {
	bows   map[string]record.Record
	drafts map[string]string
}

// TestBookIsLikeItsLikeness does random things to a book and to a likeness of it in memory, with reopenings
// and copies in between, and compares them.
func TestBookIsLikeItsLikeness(t *testing.T) {
	t.Parallel()
	folder, books := t.TempDir(), 0
	rapid.Check(t, func(r *rapid.T) {
		books++
		path := filepath.Join(folder, fmt.Sprintf("%d.book", books))
		book := opened(r, path, Options{})
		defer func() { _ = book.Close() }()
		like := likeness{make(map[string]record.Record), make(map[string]string)}
		ids := rapid.SampledFrom([]string{"ash 1", "ash", "Ash", "\x00", "e\u0301"})
		draftKeys := rapid.SampledFrom([]string{"new", "pull/ash", "pull/Ash"})
		drafts := rapid.OneOf(rapid.Just(""), draftKeys)
		items := rapid.SliceOfN(rapid.Map(rapid.IntRange(1, 60), func(n int) record.Item { return pull(t, n) }), 0, 5)
		r.Repeat(map[string]func(*rapid.T){
			"add a bow": func(r *rapid.T) {
				rec, draft := bow(t, ids.Draw(r, "bow"), 0), drafts.Draw(r, "draft")
				rec.Items = items.Draw(r, "entries")
				like.add(r, rec, true, draft, book.AddBow(rec, draft))
			},
			"add entries": func(r *rapid.T) {
				rec, draft := bow(t, ids.Draw(r, "bow"), 0), drafts.Draw(r, "draft")
				rec.Items = items.Draw(r, "entries")
				like.add(r, rec, false, draft, book.AddItems(rec.Bow.ID, rec.Items, draft))
			},
			"save a draft": func(r *rapid.T) {
				key, doc := draftKeys.Draw(r, "key"), rapid.SliceOfN(rapid.Byte(), 0, 9000).Draw(r, "doc")
				must(r, book.SaveDraft(key, doc))
				like.drafts[key] = string(doc)
			},
			"drop a draft": func(r *rapid.T) {
				key := draftKeys.Draw(r, "key")
				must(r, book.DropDraft(key))
				delete(like.drafts, key)
			},
			"reopen": func(r *rapid.T) {
				must(r, book.Close())
				book = opened(r, path, Options{})
			},
			"look at a copy": func(r *rapid.T) {
				view := opened(r, path, Options{ReadOnly: true})
				like.compare(r, view)
				must(r, view.Close())
			},
			"compare": func(r *rapid.T) { like.compare(r, book) },
		})
		must(r, book.Close())
		book = opened(r, path, Options{})
		like.compare(r, book)
		whole(r, path)
	})
}

// add adds entries to a bow, or a new bow with its entries, where the book must have done so; err is what
// the book said.
func (l likeness) add(r *rapid.T, rec record.Record, fresh bool, draft string, err error) {
	old, known := l.bows[rec.Bow.ID]
	rec.Items = slices.Concat(old.Items, rec.Items)
	record.SortItems(rec.Items)
	var want error
	if known == fresh {
		want = errTaken
	}
	for i := range rec.Items {
		if i > 0 && rec.Items[i].Key == rec.Items[i-1].Key {
			want = errTaken
		}
	}
	if !known && !fresh {
		want = errNoBow
	}
	if !errors.Is(err, want) {
		r.Fatalf("bow %q: got %v, want %v", rec.Bow.ID, err, want)
	}
	if want == nil {
		l.bows[rec.Bow.ID] = rec
		delete(l.drafts, draft)
	}
}

// compare compares all that a book tells with its likeness.
func (l likeness) compare(r *rapid.T, book *Book) {
	var want strings.Builder
	for _, id := range slices.Sorted(maps.Keys(l.bows)) {
		tell(&want, l.bows[id].Description, l.bows[id].Items)
	}
	for _, key := range slices.Sorted(maps.Keys(l.drafts)) {
		fmt.Fprintf(&want, "draft %s %s\n", key, l.drafts[key])
	}
	if got := stateOf(r, book); got != want.String() {
		r.Fatalf("the book tells %q, not %q", got, want.String())
	}
	whole(r, book.path)
}
