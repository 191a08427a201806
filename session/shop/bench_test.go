package shop_test

import (
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/session/shop"
)

func TestAddRefusesWhatCannotBe(t *testing.T) {
	w, bench := atBench(t, pull(18, 22), pull(20, 24))
	void := lastID(bench)
	must(t, bench.Add(model.Void{Entry: void, Why: "wrong"}, ""))
	for _, c := range []struct {
		what  model.Event
		field string
	}{
		{model.Void{Entry: "unknown"}, "entry"}, {model.Void{}, "entry"}, {model.Void{Entry: void}, "entry"},
		{pull(72, 20), "draw"}, {pull(18, 400), "peak"}, {pullRead(18, 7), "upper[0]"},
		{model.Finish{Step: "varnish", On: "2027-01-12"}, "on"}, // is still to come
		{model.Edit{Set: []byte(`{"handle":-1}`)}, "handle"}, {model.Edit{Set: []byte(`{"id":"other"}`)}, "id"},
	} {
		before := bench.Story()
		err := bench.Add(c.what, "")
		var field *model.FieldError
		if !errors.As(err, &field) || field.Field != c.field || field.Want == "" {
			t.Errorf("Add(%#v) gives %v, want a *model.FieldError of %s", c.what, err, c.field)
		}
		if kept, _, _ := w.book.Bow(bench.Story().Bow().ID); len(kept.Items) != 3 || !reflect.DeepEqual(bench.Story(), before) {
			t.Errorf("Add(%#v) was refused and left %d entries", c.what, len(kept.Items))
		}
	}
}

func TestBenchStaysAsItWasWhereTheBookFails(t *testing.T) {
	w, bench := atBench(t, pull(18, 22), pull(20, 25))
	id, other := bench.Story().Bow().ID, ash()
	other.Name = "Elm"
	draft := shop.DraftKey(id, "pull")
	must(t, w.SaveDraft(draft, shop.Draft{Form: "pull", Answers: map[string]string{"draw": "22"}}))
	full := errors.New("the disk is full")
	for _, locked := range []string{"", full.Error()} {
		before := bench.Story()
		if w.book.Locked = locked; locked == "" {
			w.book.Fail = full
		}
		for name, try := range map[string]func() error{
			"Add":        func() error { return bench.Add(pull(22, 28), draft) },
			"AddAll":     func() error { return bench.AddAll(pull(22, 28), pull(23, 30)) },
			"Undo":       func() error { return failure(turned(bench.Last(false))) },
			"Void":       func() error { return bench.Add(model.Void{Entry: before.Lines[0].Entry.ID, Why: "why"}, "") },
			"Redescribe": func() error { return bench.Redescribe(other, draft) },
			"SetAside":   func() error { return bench.Add(model.Rack{Why: ""}, "") },
			"SaveDraft":  func() error { return w.SaveDraft(draft, shop.Draft{}) },
			"Import": func() error {
				return w.Import(strings.NewReader(unknown), func(shop.Imported) { t.Error("told of a bow") })
			},
			"Keep": func() error {
				arrivals := need(bench.Look([]model.Entry{{What: model.Note{Text: "from a file"}}}))(t)
				return bench.Keep(arrivals)
			},
			"NewBow": func() error { return failure(w.NewBow(other, "")) },
		} {
			if err := try(); err == nil || !errors.Is(err, full) && w.book.Fail != nil {
				t.Errorf("%s gives %v, want what the book said", name, err)
			}
		}
		w.book.Fail, w.book.Locked = nil, ""
		kept, _, _ := w.book.Bow(id)
		again, err := w.Story(id)
		if err != nil || len(kept.Items) != 2 || !reflect.DeepEqual(bench.Story(), before) || !reflect.DeepEqual(again, before) {
			t.Errorf("after failures the book has %d entries (%v), want 2, and the story as it was", len(kept.Items), err)
		}
		if got, ok, err := w.Draft(draft); err != nil || !ok || got.Answers["draw"] != "22" {
			t.Errorf("the draft is %+v, %t, %v", got, ok, err)
		}
	}
	must(t, bench.Add(pull(22, 28), draft))
	if _, ok, _ := w.Draft(draft); ok {
		t.Error("the draft stayed after its entry was kept")
	}
}

func TestEntryHasTheWallClocksTime(t *testing.T) {
	w := newWorkshop(1)
	w.time = time.Now() // with the reading of a clock that stands still while the machine sleeps
	bench := w.bench(t, ash())
	must(t, bench.Add(pull(18, 22), ""))
	if got := bench.Story().LastAt(); got != got.Round(0) || got.Location() != time.UTC || !got.Equal(w.time) {
		t.Errorf("the entry's time is %#v", got)
	}
}

func TestRedescribeWritesOnlyWhatChanges(t *testing.T) {
	w, bench := atBench(t)
	draft := shop.DraftKey(bench.Story().Bow().ID, "edit")
	must(t, w.SaveDraft(draft, shop.Draft{}))
	if err := bench.Redescribe(bench.Story().Bow(), draft); err != nil || len(bench.Story().Lines) != 0 {
		t.Errorf("describing the bow as it is gives %v and %d entries", err, len(bench.Story().Lines))
	}
	if _, ok, _ := w.Draft(draft); ok {
		t.Error("the draft stayed")
	}
	bow := bench.Story().Bow()
	bow.Limbs[model.Lower].Length = 0
	if err := bench.Redescribe(bow, ""); err == nil {
		t.Error("a bow without a lower limb was taken")
	}
}

func TestAddAllIsAllOrNothing(t *testing.T) {
	w, bench := atBench(t)
	if err := bench.AddAll(scrape(model.Upper, 6, 12), scrape(model.Lower, 12, 90)); err == nil || len(bench.Story().Lines) != 0 {
		t.Errorf("%v, with %d entries", err, len(bench.Story().Lines))
	}
	must(t, bench.AddAll(scrape(model.Upper, 6, 12), scrape(model.Lower, 12, 20)))
	again, err := w.Story(bench.Story().Bow().ID)
	if err != nil || len(again.Pass().Scrapes) != 2 || again.Pass().Scrapes[0].Limb != model.Upper {
		t.Errorf("opened again it tells %+v, %v", again.Lines, err)
	}
}

func TestCorrectRefusesWhatCannotBe(t *testing.T) {
	_, bench := atBench(t, pull(12, 15))
	first := lastID(bench)
	if err := bench.Correct(first, model.Pull{Draw: 900}, ""); err == nil || len(bench.Story().Lines) != 1 {
		t.Errorf("a draw beyond the bow was taken: %v", err)
	}
	must(t, bench.Correct(first, bench.Story().Lines[0].Entry.What, ""))
	if len(bench.Story().Lines) != 1 {
		t.Error("a correction that changes nothing is in the book")
	}
	must(t, bench.Correct(first, pull(12, 14), ""))
	if err := bench.Correct(first, pull(12, 14), ""); err == nil {
		t.Error("a void entry was corrected")
	}
}

// A voided entry stays, with its reason, but counts in no figure; voiding a scrape joins its pass to the one before.
func TestVoidedEntryTakesPartInNoFigure(t *testing.T) {
	w, bench := atBench(t, pull(18, 22), scrape(model.Upper, 4, 12))
	wrong := lastID(bench)
	w.add(t, bench, pull(20, 62))
	must(t, bench.Add(model.Void{Entry: lastID(bench), Why: "rule held at the wrong mark"}, ""))
	must(t, bench.Add(model.Void{Entry: wrong, Why: "that was the other bow"}, ""))
	w.add(t, bench, pull(17, 21))
	story := bench.Story()
	if got, _, _ := story.Weight(); got.Draw != 18 || len(story.Passes) != 1 || len(story.Pass().Pulls) != 2 || len(story.Pass().Scrapes) != 0 {
		t.Errorf("the bow weighs %v, want the pulls that count, all in pass 0: %+v", got, story.Passes)
	}
	if line := story.Lines[2]; len(story.Lines) != 6 || line.Counts() || line.Voided.Why != "rule held at the wrong mark" {
		t.Errorf("the voided line is %+v; it must stay, with its reason", line)
	}
}

func TestVoidsThatAnotherBookMadeAndThatReachNothing(t *testing.T) {
	story := told(t, model.Void{Entry: "c"}, // a void reaches only what came before it
		model.Edit{Set: []byte(`{"name":"Yew"}`)},
		pull(18, 22),
		model.Void{Entry: "d"}, // itself
		model.Void{Entry: "e"}, // itself
		model.Void{Entry: "never heard of"},
	)
	for _, line := range story.Lines {
		if !line.Counts() {
			t.Errorf("entry %s is void", line.Entry.ID)
		}
	}
	if story.Bow().Name != "Yew" || len(story.Pass().Pulls) != 1 {
		t.Errorf("the bow is %q with %d pulls", story.Bow().Name, len(story.Pass().Pulls))
	}
}

func TestEditsApplyInOrderAndOneThatLeavesNoBowHasNoEffect(t *testing.T) {
	var edits []model.Event
	for _, set := range []string{
		`{"name":"Yew","order":{"weight":45}}`, `{"limbs":{"upper":{"length":-3}},"name":"none"}`, `{"name":"Elm","number":"27/1"}`, `{"number":null}`,
	} {
		edits = append(edits, model.Edit{Set: []byte(set)})
	}
	bow := told(t, edits...).Bow()
	if bow.Name != "Elm" || bow.Order.Weight.Or(0) != 45 || bow.Limbs[model.Upper].Length != 34 || bow.Number != "" || bow.Order.For != "Wren" {
		t.Errorf("the bow is %+v", bow)
	}
}
