package shop_test

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/shop"
)

// Bows due on one day, or on none, go by their last entry, the newest first.
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
		w.made(t, func(bow *model.Bow) { bow.Name, bow.Order.Due = c.name, c.due }, c.events...)
		w.wait(time.Hour)
	}
	rows := need(w.Rack())(t)
	var names []string
	for _, row := range rows {
		names = append(names, row.Bow.Name)
	}
	same(t, "the rack", names, []string{"due soon", "due late", "newer", "older", "handed over", "set aside"})
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

// Work on several bows in turn. After each entry the rack is the same as one opened anew, also where only the
// cached rows can be read.
func TestTheRackHangsAsIfItWereOpenedAnew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := newWorkshop(9)
		var ids []string
		for n := range rapid.IntRange(1, 6).Draw(t, "bows") {
			bow := ash()
			bow.Name = []string{"ash", "elm"}[n%2]
			id := need(w.NewBow(bow, ""))(t)
			ids = append(ids, id)
		}
		for range rapid.IntRange(1, 10).Draw(t, "entries") {
			bench := need(w.Bench(rapid.SampledFrom(ids).Draw(t, "bow")))(t)
			_ = drawWork(t, w, bench) // may be refused
			hangs := need(w.Rack())(t)
			story := bench.Story()
			for _, row := range hangs {
				if row.Bow.ID == story.Bow().ID && (row.Stage != story.Stage() || row.InHand != story.InHand ||
					row.Pass != story.Pass().Number || !row.Last.Equal(story.LastAt()) || row.Bow.Name != story.Bow().Name) {
					t.Fatalf("the rack says %+v of %+v", row, story)
				}
			}
			damage := make(map[string]error)
			for _, id := range ids {
				damage[id] = errDamaged
			}
			for _, w.book.Damage = range []map[string]error{nil, damage} { // from entries, then from cached rows
				rows, err := shop.Open(w.book, shop.Options{Now: func() time.Time { return w.time }}).Rack()
				if must(t, err); !reflect.DeepEqual(hangs, rows) {
					t.Fatalf("the rack hangs\n%+v, opened anew\n%+v", hangs, rows)
				}
				w.KeepRows()
			}
			w.book.Damage = nil
		}
	})
}

// A read-only shop shows what the book's holder has written once it looks again, on the rack and at the bench.
func TestARefreshedShopShowsWhatCame(t *testing.T) {
	w, bench := atBench(t)
	other := shop.Open(w.book, shop.Options{})
	theirs := need(other.Bench(bench.Story().Bow().ID))(t)
	shown := func(came bool, passes, lines int) {
		t.Helper()
		if changed, err := other.Refresh(); changed != came || err != nil {
			t.Errorf("that something came is said: %v, %v", changed, err)
		}
		rows := need(other.Rack())(t)
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

// The rack tells of the newest of several half-typed forms, whatever ids the bow and its entries came with.
func TestTheNewestHalfTypedFormIsToldOf(t *testing.T) {
	w, bench := atBench(t)
	id := bench.Story().Bow().ID
	at := func(hour int) time.Time { return time.Date(2027, 2, 1, hour, 0, 0, 0, time.UTC) }
	for form, begun := range map[string]time.Time{"scrape": at(9), "correct 2026/7": at(11), "pull": at(10)} {
		must(t, w.SaveDraft(shop.DraftKey(id, form), shop.Draft{Form: form, Begun: begun}))
	}
	must(t, w.SaveDraft(shop.DraftKey(id+"/a", "note"), shop.Draft{Form: "note", Begun: at(12)}))
	must(t, w.book.SaveDraft(shop.DraftKey(id, "void"), []byte(`{"answers":7}`))) // as another version has it
	if got, ok, err := w.Draft(shop.DraftKey(id, "void")); ok || err != nil {
		t.Errorf("a draft of another version is %+v, %t, %v", got, ok, err)
	}
	drafts, err := w.Drafts(id)
	if err != nil || len(drafts) != 3 || drafts[0].Form != "correct 2026/7" || drafts[1].Form != "pull" || drafts[2].Form != "scrape" {
		t.Errorf("%+v (%v), want the correction, the pull and the scrape", drafts, err)
	}
	rows, err := w.Rack()
	if err != nil || len(rows) != 1 || rows[0].HalfTyped != "correct 2026/7" {
		t.Errorf("the rack tells of %+v (%v)", rows, err)
	}
}

// A damaged bow doesn't keep others from being listed, found or exported.
func TestADamagedBowHidesNoOther(t *testing.T) {
	w := newWorkshop(1)
	w.made(t, func(bow *model.Bow) { bow.Name = "Whole" }, pull(18, 22))
	bench := w.made(t, func(bow *model.Bow) { bow.Name = "Broken" }, pull(18, 22))
	w.book.Damage = map[string]error{bench.Story().Bow().ID: errDamaged}

	rows, err := w.Rack()
	if err != nil || len(rows) != 2 {
		t.Fatalf("the rack has %d rows (%v)", len(rows), err)
	}
	for _, row := range rows {
		if isDamaged := row.Bow.Name == "Broken"; isDamaged != errors.Is(row.Damage, errDamaged) || isDamaged != (row.Stage == "damaged") {
			t.Errorf("%s: stage %q, damage %v", row.Bow.Name, row.Stage, row.Damage)
		}
	}
	for _, name := range []string{"whole", "broken"} {
		must(t, failure(w.Find(name)))
	}
	var out strings.Builder
	err = w.ExportAll(func(rec record.Record) error { return record.WriteLine(&out, rec) })
	if !errors.Is(err, errDamaged) || !strings.Contains(err.Error(), "Broken") {
		t.Errorf("exporting all: %v", err)
	}
	if n := strings.Count(out.String(), "\n"); n != 1 || !strings.Contains(out.String(), `"Whole"`) {
		t.Errorf("exported %d records:\n%s", n, out.String())
	}
}

// A bow with a sound cached row shows its damage once somebody tries to read it, until it can be read again.
func TestDamageShowsOnceItIsFound(t *testing.T) {
	w, bench := atBench(t, pull(18, 22))
	id := bench.Story().Bow().ID
	row := func(stage string) {
		t.Helper()
		rows, err := w.Rack()
		if err != nil || len(rows) != 1 || rows[0].Stage != stage || errors.Is(rows[0].Damage, errDamaged) != (stage == "damaged") {
			t.Errorf("the rack is %+v (%v), want one row that is %s", rows, err, stage)
		}
	}
	row("long string")
	w.book.Damage = map[string]error{id: errDamaged}
	if _, err := w.Bench(id); !errors.Is(err, errDamaged) {
		t.Errorf("the damaged bow came to the bench: %v", err)
	}
	row("damaged")
	w.book.Damage = nil
	must(t, failure(w.Bench(id)))
	row("long string")
}

// named puts a bow of that name and number into the shop and returns its id.
func (w *workshop) named(t *testing.T, name, number string) string {
	t.Helper()
	return w.made(t, func(bow *model.Bow) { bow.Name, bow.Number = name, number }).Story().Bow().ID
}

func TestFindByNumberIDOrTheStartOfAName(t *testing.T) {
	w := newWorkshop(1)
	wren := w.named(t, "Ash for Wren", "27/3")
	lark := w.named(t, "Ash for Lark", "27/4")
	yew := w.named(t, "Yew", "")
	yewLong := w.named(t, "Yew for Hollis", "Ash for Wren") // a number goes before another bow's name
	esh := w.named(t, "Ésh 🏹\ufe0f עץ", "")
	hidden := w.named(t, "\u202eE\x1b[31mlm\u200b one", "")
	for _, c := range []struct{ asked, want string }{
		{"27/3", wren}, {" 27/4 ", lark}, {wren, wren}, {strings.ToLower(lark), lark},
		{"ash for l", lark}, {"ASH FOR W", wren}, {"yew", yew}, {"Yew ", yew}, {"yew f", yewLong}, {"Ash for Wren", yewLong},
		{"ésh", esh}, {"Ésh 🏹", esh}, {"Ésh 🏹 עץ", esh}, {"e[31mlm one", hidden}, {"E[31MLM", hidden},
	} {
		bow, err := w.Find(c.asked)
		if err != nil || bow.ID != c.want {
			t.Errorf("%q finds %q (%v)", c.asked, bow.Name, err)
		}
	}
	bench := need(w.Bench(yew))(t)
	redescribe(t, bench, func(bow *model.Bow) { bow.Name = "Elder" })
	if bow, err := w.Find("elder"); err != nil || bow.ID != yew {
		t.Errorf("its new name finds %q (%v)", bow.Name, err)
	}
	for _, asked := range []string{"oak", "for Wren", "", "  ", "\u202e", "27", wren[:8]} {
		if bow, err := w.Find(asked); !errors.Is(err, shop.ErrNoBow) {
			t.Errorf("%q finds %q (%v), want no bow", asked, bow.Name, err)
		}
	}
}

func TestAmbiguousNameListsWhatItCouldBe(t *testing.T) {
	w := newWorkshop(1)
	w.named(t, "Ash for Wren", "27/3")
	w.named(t, "Ash for \x1b[2JLark", "27/4\x07")
	twin := w.named(t, "Ash", "")
	other := w.named(t, "ash", "")
	_, err := w.Find("ash f")
	const want = `"ash f" could be "Ash for Wren" (number 27/3), "Ash for [2JLark" (number 27/4); ` +
		"give its number, its id or more of its name"
	if err == nil || err.Error() != want {
		t.Errorf("the error is %v, want %s", err, want)
	}
	for n := range 100 {
		w.named(t, fmt.Sprintf("Bow %02d", n), "")
	}
	if _, err := w.Find("bow"); err == nil || len(err.Error()) > 600 || !strings.Contains(err.Error(), "and 90 more") {
		t.Errorf("what could be a hundred bows is told as %v", err)
	}
	// Two bows of one name are told apart by their ids.
	if _, err = w.Find("ash"); err == nil || !strings.Contains(err.Error(), twin) || !strings.Contains(err.Error(), other) {
		t.Errorf("%v does not give the ids", err)
	}
}

func TestNameOfABowCanBeShown(t *testing.T) {
	for _, c := range []struct {
		name, number, want string
	}{
		{"Ash\n\x1b[2J", "1", "Ash [2J"}, {" ", "27/1", "number 27/1"}, {"\u202e", "\u202e", "bow 01ARZ3NDEK"}, {"", "", "bow 01ARZ3NDEK"},
	} {
		bow := model.Bow{ID: "01ARZ3NDEKTSV4RRFFQ69G5FAV", Name: c.name, Number: c.number, Units: measure.Imperial()}
		same(t, fmt.Sprintf("%q with number %q", c.name, c.number), session.NameOf(bow), c.want)
	}
	same(t, "a foreign id", session.NameOf(model.Bow{ID: "弓弓弓弓弓弓弓弓弓弓弓弓"}), "bow 弓弓弓弓弓弓弓弓弓弓")
}
