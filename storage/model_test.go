package storage

import (
	"errors"
	"fmt"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/record"
	"bendbook/session/booktest"
	"bendbook/session/shop"
)

// TestBookIsLikeOneInMemory does random things to a book and to one in memory, with reopenings and copies in
// between, and compares them.
func TestBookIsLikeOneInMemory(t *testing.T) {
	t.Parallel()
	folder, books := t.TempDir(), 0
	rapid.Check(t, func(r *rapid.T) {
		books++
		path := filepath.Join(folder, fmt.Sprintf("%d.book", books))
		book, like := opened(r, path, Options{}), booktest.New()
		defer func() { _ = book.Close() }()
		ids := rapid.SampledFrom([]string{"ash 1", "ash", "Ash", "\x00", "e\u0301"})
		keys := rapid.SampledFrom([]string{"new", "pull/ash", "pull/Ash"})
		drafts, texts := rapid.OneOf(rapid.Just(""), keys), rapid.SliceOfN(rapid.Byte(), 0, 9000)
		items := rapid.SliceOfN(rapid.Map(rapid.IntRange(1, 60), func(n int) record.Item { return pull(t, n) }), 0, 5)
		// both does it to both books, which refuse the same things, the one on disk with that error.
		both := func(r *rapid.T, refused error, do func(shop.Book) error) {
			got, want := do(book), do(like)
			if want == nil && got != nil || want != nil && !errors.Is(got, refused) {
				r.Fatalf("got %v, in memory %v", got, want)
			}
		}
		same := func(r *rapid.T, book *Book) {
			if got, want := stateOf(r, book), stateOf(r, like); got != want {
				r.Fatalf("the book tells %q, not %q", got, want)
			}
			whole(r, path)
		}
		r.Repeat(map[string]func(*rapid.T){
			"add a bow": func(r *rapid.T) {
				rec, draft := bow(t, ids.Draw(r, "bow"), 0), drafts.Draw(r, "draft")
				rec.Items = items.Draw(r, "entries")
				both(r, errTaken, func(b shop.Book) error { return b.AddBow(rec, draft) })
			},
			"add entries": func(r *rapid.T) {
				id, more, draft := ids.Draw(r, "bow"), items.Draw(r, "entries"), drafts.Draw(r, "draft")
				refused := errTaken
				if _, known, _ := like.Bow(id); !known {
					refused = errNoBow
				}
				both(r, refused, func(b shop.Book) error { return b.AddItems(id, more, draft) })
			},
			"save a draft": func(r *rapid.T) {
				key, doc := keys.Draw(r, "key"), texts.Draw(r, "doc")
				both(r, nil, func(b shop.Book) error { return b.SaveDraft(key, doc) })
			},
			"drop a draft": func(r *rapid.T) {
				key := keys.Draw(r, "key")
				both(r, nil, func(b shop.Book) error { return b.DropDraft(key) })
			},
			"keep settings": func(r *rapid.T) {
				doc := fmt.Appendf(nil, `{"mark":%d}`, rapid.Int().Draw(r, "mark"))
				both(r, nil, func(b shop.Book) error { return b.KeepSettings(doc) })
			},
			"keep rows": func(r *rapid.T) {
				rows := map[string][]byte{ids.Draw(r, "bow"): texts.Draw(r, "row")}
				both(r, nil, func(b shop.Book) error { return b.KeepRows(rows) })
			},
			"reopen": func(r *rapid.T) {
				must(r, book.Close())
				book = opened(r, path, Options{})
			},
			"look at a copy": func(r *rapid.T) {
				view := opened(r, path, Options{ReadOnly: true})
				same(r, view)
				must(r, view.Close())
			},
			"compare": func(r *rapid.T) { same(r, book) },
		})
		must(r, book.Close())
		book = opened(r, path, Options{})
		same(r, book)
	})
}
