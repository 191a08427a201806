package shop_test

import (
	"slices"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session/shop"
)

// drawnOut are pulls to ever longer draws, each taken twice, whose peaks no bow could show.
func drawnOut() (events []model.Event) {
	events = []model.Event{braced(row(5.75, 5.5, 5), row(5.75, 5.5, 5))}
	for i := range 9 {
		draw := measure.Length(9 + i)
		events = append(events, pull(draw, measure.Force(10+3*i+3*(i%2))), pull(draw, measure.Force(10.5+3*float64(i)+3*float64(i%2))))
	}
	return events
}

// How the ranges of other bows held is worked out once, and read from their rows from then on. Where it changes how wide
// ranges are, a verdict from before is gone.
func TestRangesOfOtherBowsTeach(t *testing.T) {
	w, bench := atBench(t, pull(10, 20), braced(row(5.75, 5.5, 5), row(5.75, 5.5, 5)))
	bow := bench.Story().Bow()
	w.judge(t, bench)
	for range 3 {
		w.made(t, func(bow *model.Bow) { bow.Name = "Other" }, drawnOut()...)
	}
	verdictOf := func() (said string) {
		rows := need(w.Rack())(t)
		at := slices.IndexFunc(rows, func(r shop.Row) bool { return r.Bow.ID == bow.ID })
		return rows[at].Verdict.Say
	}
	if verdictOf() == "" {
		t.Error("the verdict is gone before anything was worked out")
	}
	learnt := w.PracticeFor(bow).Settings
	if n := len(learnt.Off); n < 3*8 || learnt.Repeats.Scale.Count != 3*9 {
		t.Fatalf("three bows teach %d promises and %+v", n, learnt.Repeats)
	}
	same(t, "by ranges of before the rack says", verdictOf(), "")
	says := w.Taught()
	w.KeepRows()
	w.book.Damage = map[string]error{}
	rows := need(w.Rack())(t)
	for _, row := range rows {
		w.book.Damage[row.Bow.ID] = errDamaged
	}
	again := shop.Open(w.book, shop.Options{})
	same(t, "from the rows", again.PracticeFor(bow).Settings.Off, learnt.Off)
	same(t, "what is told", again.Taught(), says)
}

// Strings of other bows that measured shorter than their limbs say teach what strings of this shop stretch.
func TestStringsOfOtherBowsTeach(t *testing.T) {
	read := []model.Event{braced(row(5.75, 5.5, 5), row(5.75, 5.5, 5)), pull(10, 20), pull(18, 32)}
	w, bench := atBench(t, read...)
	toMake := func() measure.Length {
		t.Helper()
		a, err := w.PracticeFor(bench.Story().Bow()).Of(bench.Story())
		must(t, err)
		length, known := a.StringFor(bench.Story().BraceHeight()).Get()
		if !known {
			t.Fatal("no string is foretold")
		}
		return length
	}
	before := toMake()
	for range 4 {
		w.made(t, func(bow *model.Bow) { bow.Name = "Other" }, append(read, model.StringLength{Length: before - 0.25})...)
	}
	if shorter := before - toMake(); shorter < 0.06 || shorter > 0.25 {
		t.Errorf("four strings were 1/4 in shorter; the next is made %.3f in shorter", shorter)
	}
}
