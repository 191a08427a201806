package shop_test

import (
	"errors"
	"reflect"
	"testing"

	"bendbook/model"
)

// A voided entry stays, with its reason, and takes part in no figure; a voided scrape joins its pass to the one before.
func TestVoidedEntryTakesPartInNoFigure(t *testing.T) {
	w, bench := atBench(t, pull(18, 22), scrape(model.Upper, 4, 12))
	wrong := lastID(bench)
	w.add(t, bench, pull(20, 62))
	must(t, bench.Void(lastID(bench), "rule held at the wrong mark"))
	must(t, bench.Void(wrong, "that was the other bow"))
	w.add(t, bench, pull(17, 21))
	story := bench.Story()
	if got, _, _ := story.Weight(); got.Draw != 18 || len(story.Passes) != 1 || len(story.Pass().Pulls) != 2 || len(story.Pass().Scrapes) != 0 {
		t.Errorf("the bow weighs %v, want the pulls that count, all in pass 0: %+v", got, story.Passes)
	}
	if line := story.Lines[2]; len(story.Lines) != 6 || line.Counts() || line.Voided.Why != "rule held at the wrong mark" {
		t.Errorf("the voided line is %+v; it must stay, with its reason", line)
	}
}

func TestVoidOfAVoidCountsTheEntryAgain(t *testing.T) {
	_, bench := atBench(t, pull(18, 22))
	entry := lastID(bench)
	for n, want := range []bool{false, true, false, true} {
		must(t, bench.Void(lastID(bench), ""))
		if line, _ := bench.Story().Line(entry); line.Counts() != want {
			t.Errorf("after void %d the pull counts: %t, want %t", n+1, !want, want)
		}
	}
}

func TestVoidThatCannotBeIsRefusedAndAddsNothing(t *testing.T) {
	_, bench := atBench(t, pull(18, 22), pull(20, 24))
	void := lastID(bench)
	must(t, bench.Void(void, "wrong"))
	before := bench.Story()
	for _, id := range []string{"unknown", "", void} {
		var field *model.FieldError
		if err := bench.Void(id, "why"); !errors.As(err, &field) {
			t.Errorf("voiding %q gives %v, want a *model.FieldError", id, err)
		}
	}
	if !reflect.DeepEqual(bench.Story(), before) {
		t.Error("a refused void changed the story")
	}
}

func TestVoidsThatAnotherBookMadeAndThatReachNothing(t *testing.T) {
	story := told(t, model.Void{Entry: "c"}, // a void reaches only what was there before it
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

func TestUndoTakesBackOneEntryAfterAnother(t *testing.T) {
	w, bench := atBench(t, pull(18, 22), scrape(model.Upper, 4, 12), pull(18, 20))
	must(t, bench.SetAside(true, "horn ordered"))
	for _, want := range []model.Event{model.Rack{Why: "horn ordered"}, pull(18, 20), scrape(model.Upper, 4, 12), pull(18, 22)} {
		w.wait(1)
		line, err := bench.Undo()
		if err != nil || !reflect.DeepEqual(line.Entry.What, want) {
			t.Fatalf("undo took back %#v (%v), want %#v", line.Entry.What, err, want)
		}
	}
	if _, err := bench.Undo(); err == nil || err.Error() != "there is no entry to undo" {
		t.Errorf("undo of nothing gives %v", err)
	}
	if story := bench.Story(); len(story.Lines) != 8 || !story.InHand || story.LongestDraw() != 0 {
		t.Errorf("after undoing all there are %d lines, in hand %t, longest draw %v", len(story.Lines), story.InHand, story.LongestDraw())
	}
}

// A change of the description is an entry like any other: undo takes it back, and the bow is described as before.
func TestAChangeOfTheDescriptionIsUndone(t *testing.T) {
	_, bench := atBench(t, pull(18, 22))
	edited := bench.Story().Bow()
	edited.Name, edited.Handle = "Ash for Lark", 5
	must(t, bench.Redescribe(edited, ""))
	if line, err := bench.Undo(); err != nil || line.Entry.What.Kind() != model.KindEdit {
		t.Fatalf("undo took back %v (%v)", line.Entry.What, err)
	}
	if story := bench.Story(); story.Bow().Name != ash().Name || story.Bow().Handle != ash().Handle || story.LongestDraw() != 18 {
		t.Errorf("the bow is %q with a handle of %v, drawn to %v", story.Bow().Name, story.Bow().Handle, story.LongestDraw())
	}
	if _, err := bench.Redo(); err != nil || bench.Story().Bow().Name != "Ash for Lark" {
		t.Errorf("brought back, the bow is %q (%v)", bench.Story().Bow().Name, err)
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
