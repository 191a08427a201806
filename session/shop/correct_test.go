package shop_test

import (
	"errors"
	"testing"

	"bendbook/model"
	"bendbook/session/shop"
)

func TestRedoTakesBackTheLastUndoOnly(t *testing.T) {
	w := newWorkshop(1)
	bench := w.bench(t, ash())
	w.add(t, bench, model.Exercise{Pulls: 10}, model.Exercise{Pulls: 20})
	if _, err := bench.Redo(); !errors.Is(err, shop.ErrNothingToBringBack) {
		t.Errorf("with nothing undone: %v", err)
	}
	if _, err := bench.Undo(); err != nil {
		t.Fatal(err)
	}
	if got := bench.Story().Pass().Exercised; got != 10 {
		t.Errorf("after undo exercised %d, want 10", got)
	}
	line, err := bench.Redo()
	if err != nil || line.Entry.What != (model.Exercise{Pulls: 20}) {
		t.Errorf("brought back %v, %v", line.Entry.What, err)
	}
	if got := bench.Story().Pass().Exercised; got != 30 {
		t.Errorf("after bringing back exercised %d, want 30", got)
	}
	if _, err := bench.Redo(); !errors.Is(err, shop.ErrNothingToBringBack) {
		t.Errorf("a second time: %v", err)
	}
}

func TestCorrectPutsBothEntriesDownOrNeither(t *testing.T) {
	w := newWorkshop(2)
	bench := w.bench(t, ash())
	w.add(t, bench, pull(12, 15))
	first := bench.Story().Lines[0]
	right := pull(12, 14)
	if err := bench.Correct(first.Entry.ID, model.Pull{Draw: 900}, ""); err == nil || len(bench.Story().Lines) != 1 {
		t.Errorf("a draw beyond the bow was taken: %v", err)
	}
	must(t, bench.Correct(first.Entry.ID, right, ""))
	story := bench.Story()
	if peak := story.Pass().Peak(12).Or(0); peak != 14 || len(story.Pass().Pulls) != 1 {
		t.Errorf("the pass holds %v", story.Pass().Pulls)
	}
	if void := story.Lines[0].Voided; void == nil || void.Why != "corrected" {
		t.Errorf("the wrong entry is void because of %v", void)
	}
	if err := bench.Correct(first.Entry.ID, right, ""); err == nil {
		t.Error("a void entry was corrected")
	}
	w.add(t, bench, scrape(model.Upper, 4, 8))
	if why := bench.Story().MayCorrect(bench.Story().Lines[2]); why == "" {
		t.Error("a pull of the pass before may be corrected, and would count for this one")
	}
}
