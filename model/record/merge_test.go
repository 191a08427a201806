package record

import (
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
)

func TestAGrowingRecordAddsOnlyWhatIsNew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		items := parse(t, encode(t, newGenerator(t).record(anyIDs))).Items
		cut := rapid.IntRange(0, len(items)).Draw(t, "cut")
		have := book(items[:cut])
		add, differ := Merge(have, items)
		if !slices.Equal(idsOf(add), idsOf(items[cut:])) || len(differ) > 0 {
			t.Fatalf("of %v the book has %d and adds %v; %v differ", idsOf(items), cut, idsOf(add),
				differ)
		}
		grown := book(items[:cut], items)
		if !slices.Equal(idsOf(grown), idsOf(items)) {
			t.Fatalf("the record is %v, the book has %v", idsOf(items), idsOf(grown))
		}
		for i, item := range grown {
			if item.Key.IsZero() || i > 0 && item.Key.Compare(grown[i-1].Key) <= 0 {
				t.Fatalf("entry %d has the key %v", i, item.Key)
			}
			if !reflect.DeepEqual(item.Entry, items[i].Entry) {
				t.Fatalf("entry %d became %+v", i, item.Entry)
			}
		}
	})
}

// ulidBooks are books that lived apart: each has some of the same entries, in the order of their ids.
func ulidBooks(t *rapid.T, n int) [][]Item {
	g := newGenerator(t)
	books := make([][]Item, n)
	ms := uint64(1.7e12)
	for i := range rapid.IntRange(0, 8).Draw(t, "entries") {
		ms += rapid.Uint64Range(0, 2).Draw(t, "later by")
		e := g.entry()
		e["id"] = ulidAt(ms, i)
		item, err := ParseItem(compact(encode(t, e)), g.units)
		check(t, err)
		for b := range books {
			if rapid.Bool().Draw(t, "in the book") {
				books[b] = append(books[b], item)
			}
		}
	}
	return books
}

func TestBooksThatLivedApartMergeToTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		books := ulidBooks(t, 3)
		a, b, c := books[0], books[1], books[2]
		all := book(a, b, c)
		for _, other := range [][]Item{book(a, c, b), book(b, a, c), book(b, c, a), book(c, a, b), book(c, b, a),
			book(book(c, b), book(a, b))} {
			if !reflect.DeepEqual(other, all) {
				t.Fatalf("merged one way %v, another %v", idsOf(all), idsOf(other))
			}
		}
		for _, own := range books {
			for _, item := range own {
				if !slices.ContainsFunc(all, func(kept Item) bool { return kept.Entry.ID == item.Entry.ID }) {
					t.Fatalf("%s was lost", item.Entry.ID)
				}
			}
		}
		if ids := idsOf(all); !slices.IsSorted(ids) {
			t.Fatalf("the ids' order is lost: %v", ids)
		}
	})
}

func TestEntriesWithoutIDsAreKnownAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := newGenerator(t)
		doc := g.record(noIDs)
		entries := doc["entries"].([]any)
		doc["entries"] = append(entries, entries...) // each text twice
		rec := parse(t, encode(t, doc))
		ids := idsOf(rec.Items)
		if again := idsOf(parse(t, written(t, rec)).Items); !slices.Equal(again, ids) {
			t.Fatalf("ids %v become %v", ids, again)
		}
		slices.Sort(ids)
		if n := len(slices.Compact(ids)); n != len(rec.Items) || slices.Contains(ids, "") {
			t.Fatalf("%d entries have %d ids", len(rec.Items), n)
		}
		doc["bow"].(fields)["id"] = "another bow"
		if other := parse(t, encode(t, doc)); len(ids) > 0 && slices.Contains(ids, other.Items[0].Entry.ID) {
			t.Fatal("entries of another bow have the same ids")
		}
	})
}

func note(id, text string, at time.Time) Item {
	item, err := NewItem(model.Entry{ID: id, At: at, What: model.Note{Text: text}}, measure.Imperial())
	if err != nil {
		panic(err)
	}
	return item
}

func TestTheBooksOwnTextStays(t *testing.T) {
	mine, theirs := note("a", "mine", time.Time{}), note("a", "theirs", time.Time{})
	add, differ := Merge(book([]Item{mine}), []Item{theirs, note("b", "new", time.Time{})})
	if !slices.Equal(differ, []string{"a"}) || !slices.Equal(idsOf(add), []string{"b"}) {
		t.Errorf("%v differ, %v are added", differ, idsOf(add))
	}
}

func TestKeysAreTakenFromIDsAndTimes(t *testing.T) {
	monday := time.Date(2027, 1, 11, 9, 0, 0, 0, time.UTC)
	ms := uint64(monday.UnixMilli())
	items := []Item{
		note(ulidAt(ms, 1), "its own key", time.Time{}),
		note("x", "follows it", time.Time{}),
		note("y", "its time", monday.Add(time.Hour)),
		note("z", "its time was earlier, but it follows", monday),
		note(ulidAt(ms, 2), "as this one does", time.Time{}),
	}
	merged, _ := Merge(nil, items)
	own, _ := KeyOf(items[0].Entry.ID)
	if merged[0].Key != own {
		t.Errorf("the key of a ULID is %v", merged[0].Key)
	}
	if behind := merged[1].Key; behind.Compare(own) <= 0 || behind.String()[:10] != own.String()[:10] {
		t.Errorf("what follows has the key %v", merged[1].Key)
	}
	first, last := keyAt(monday.Add(time.Hour), ""), merged[2].Key
	if first.String()[:10] != last.String()[:10] {
		t.Errorf("an entry of %v has the key %v", monday.Add(time.Hour), last)
	}
	for i := 1; i < len(merged); i++ {
		if merged[i].Key.Compare(merged[i-1].Key) <= 0 {
			t.Errorf("%q stands before %q", items[i].Doc, items[i-1].Doc)
		}
	}
}

func TestTwoEntriesOfOneMomentBothStay(t *testing.T) {
	// An id of another book may be the key that an entry here was given; neither goes.
	id := ulidAt(1.7e12, 1)
	key, _ := KeyOf(id)
	have := []Item{note("mine", "m", time.Time{})}
	have[0].Key = key
	added, _ := Merge(have, []Item{note(id, "theirs", time.Time{})})
	if len(added) != 1 || added[0].Key.Compare(key) <= 0 {
		t.Errorf("%v", added)
	}
}

func TestTheLastOfAllIDsLeavesRoom(t *testing.T) {
	items := []Item{note("a", "before", time.Time{}), note("7ZZZZZZZZZZZZZZZZZZZZZZZZZ", "the last id of all",
		time.Time{}), note("c", "after", time.Time{})}
	if got := idsOf(book(items)); !slices.Equal(got, idsOf(items)) {
		t.Errorf("the order became %v", got)
	}
}

func TestKeyAndIDAreOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		id := ulidAt(rapid.Uint64Range(0, 1<<48-1).Draw(t, "ms"), rapid.IntRange(0, 65_535).Draw(t, "i"))
		key, ok := KeyOf(id)
		if !ok || key.String() != id {
			t.Fatalf("%s is %v, %v", id, key, ok)
		}
		if next := key.Next(); id != "7ZZZZZZZZZZZZZZZZZZZZZZZZZ" && next.Compare(key) <= 0 {
			t.Fatalf("after %v comes %v", key, next)
		}
	})
	for _, id := range []string{"", "a", "01JH7M0000000000000000000", "01JH7M0000000000000000000U",
		"8ZZZZZZZZZZZZZZZZZZZZZZZZZ", "01JH7M0000000000000000000é"} {
		if key, ok := KeyOf(id); ok {
			t.Errorf("%q is the key %v", id, key)
		}
	}
}
