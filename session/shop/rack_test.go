package shop_test

import (
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/session/shop"
)

// TestRackLaysWhatIsInHandFirstByTheDayItIsDue: then by the last entry, newest first.
func TestRackLaysWhatIsInHandFirstByTheDayItIsDue(t *testing.T) {
	w := newWorkshop(1)
	for _, c := range []struct {
		name   string
		due    model.Day
		events []model.Event
	}{
		{"handed over", "2027-01-01", []model.Event{finish(model.HandedOver)}},
		{"older", "", []model.Event{pull(10, 12)}},
		{"newer", "", []model.Event{pull(10, 12), scrape(model.Upper, 4, 12), pull(12, 14)}},
		{"due late", "2027-05-01", nil},
		{"due soon", "2027-02-01", []model.Event{pull(10, 12)}},
		{"set aside", "2027-01-15", []model.Event{model.Rack{}}},
	} {
		bow := ash()
		bow.Name, bow.Order.Due = c.name, c.due
		w.add(t, w.bench(t, bow), c.events...)
		w.wait(time.Hour)
	}
	rows, err := w.Rack()
	must(t, err)
	var names []string
	for _, row := range rows {
		names = append(names, row.Bow.Name)
	}
	if want := []string{"due soon", "due late", "newer", "older", "handed over", "set aside"}; !reflect.DeepEqual(names, want) {
		t.Errorf("the rack is %q, want %q", names, want)
	}
	row := rows[2]
	if got, ok := row.Pull.Get(); !ok || got.Draw != 12 || row.Pass != 1 || row.Sessions != 1 || row.Stage != "tillering, pass 1" || row.Last.IsZero() {
		t.Errorf("the row of %s is %+v", row.Bow.Name, row)
	}
}

func TestDaysLeftCountCalendarDays(t *testing.T) {
	for _, c := range []struct {
		due        model.Day
		now        time.Time
		handedOver bool
		days       int
		ok         bool
	}{
		{"2027-02-01", time.Date(2027, 1, 31, 23, 59, 0, 0, time.UTC), false, 1, true},
		{"2027-02-01", time.Date(2027, 2, 2, 0, 1, 0, 0, time.FixedZone("east", 12*3600)), false, -1, true},
		{"2027-02-01", time.Date(2027, 2, 2, 9, 0, 0, 0, time.UTC), true, 0, false},
		{"", monday, false, 0, false},
	} {
		row := shop.Row{Bow: model.Bow{Order: model.Order{Due: c.due}}, HandedOver: c.handedOver}
		if days, ok := row.DaysLeft(c.now); days != c.days || ok != c.ok {
			t.Errorf("due %s, at %v: %d days (%t), want %d (%t)", c.due, c.now, days, ok, c.days, c.ok)
		}
	}
}

// TestTheRackHangsAsIfItWereOpenedAnew works on several bows in turn. After each entry the rack is as one
// that is read anew, and so is one that has nothing but the cached rows.
func TestTheRackHangsAsIfItWereOpenedAnew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := newWorkshop(9)
		var ids []string
		for n := range rapid.IntRange(1, 6).Draw(t, "bows") {
			bow := ash()
			bow.Name = []string{"ash", "elm"}[n%2]
			id, err := w.NewBow(bow, "")
			must(t, err)
			ids = append(ids, id)
		}
		for range rapid.IntRange(1, 10).Draw(t, "entries") {
			bench, err := w.Bench(rapid.SampledFrom(ids).Draw(t, "bow"))
			must(t, err)
			_ = drawWork(t, w, bench) // what is refused is of no account here
			hangs, err := w.Rack()
			must(t, err)
			open := func() []shop.Row {
				rows, err := shop.Open(w.book, shop.Options{Now: func() time.Time { return w.time }}).Rack()
				must(t, err)
				return rows
			}
			story := bench.Story()
			for _, row := range hangs {
				if row.Bow.ID == story.Bow().ID && (row.Stage != story.Stage() || row.InHand != story.InHand ||
					row.Pass != story.Pass().Number || !row.Last.Equal(story.LastAt()) || row.Bow.Name != story.Bow().Name) {
					t.Fatalf("the rack says %+v of %+v", row, story)
				}
			}
			if anew := open(); !reflect.DeepEqual(hangs, anew) {
				t.Fatalf("the rack hangs\n%+v, read anew\n%+v", hangs, anew)
			}
			w.KeepRows()
			w.book.Damage = make(map[string]error)
			for _, id := range ids {
				w.book.Damage[id] = errDamaged
			}
			if cached := open(); !reflect.DeepEqual(hangs, cached) {
				t.Fatalf("the rack hangs\n%+v, cached\n%+v", hangs, cached)
			}
			w.book.Damage = nil
		}
	})
}

// A read-only shop shows what the book's holder has written, on the rack and at the bench, once it looks
// again.
func TestARefreshedShopShowsWhatCame(t *testing.T) {
	w, bench := atBench(t)
	other := shop.Open(w.book, shop.Options{})
	theirs, err := other.Bench(bench.Story().Bow().ID)
	must(t, err)
	shown := func(came bool, passes, lines int) {
		t.Helper()
		if changed, err := other.Refresh(); changed != came || err != nil {
			t.Errorf("that something came is said: %v, %v", changed, err)
		}
		rows, err := other.Rack()
		must(t, err)
		must(t, theirs.Refresh())
		if got := len(theirs.Story().Lines); rows[0].Pass != passes || got != lines {
			t.Errorf("%d passes, %d entries; want %d and %d", rows[0].Pass, got, passes, lines)
		}
	}
	shown(false, 0, 0)
	w.add(t, bench, pull(10, 12), scrape(model.Upper, 4, 12))
	shown(false, 0, 0)
	w.book.Came = true
	shown(true, 1, 2)
}

// Of several half-typed forms of a bow the newest is told of, whatever ids the bow and its entries came with.
func TestTheNewestHalfTypedFormIsToldOf(t *testing.T) {
	w := newWorkshop(1)
	bow := ash()
	bench := w.bench(t, bow)
	id := bench.Story().Bow().ID
	at := func(hour int) time.Time { return time.Date(2027, 2, 1, hour, 0, 0, 0, time.UTC) }
	for form, begun := range map[string]time.Time{"scrape": at(9), "correct 2026/7": at(11), "pull": at(10)} {
		must(t, w.SaveDraft(shop.DraftKey(id, form), shop.Draft{Form: form, Begun: begun}))
	}
	must(t, w.SaveDraft(shop.DraftKey(id+"/a", "note"), shop.Draft{Form: "note", Begun: at(12)}))
	drafts, err := w.Drafts(id)
	if err != nil || len(drafts) != 3 || drafts[0].Form != "correct 2026/7" || drafts[1].Form != "pull" || drafts[2].Form != "scrape" {
		t.Errorf("%+v (%v), want the correction, the pull and the scrape", drafts, err)
	}
	rows, err := w.Rack()
	if err != nil || len(rows) != 1 || rows[0].HalfTyped != "correct 2026/7" {
		t.Errorf("the rack tells of %+v (%v)", rows, err)
	}
}
