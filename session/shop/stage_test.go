package shop_test

import (
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

func finish(step string) model.Finish { return model.Finish{Step: step} }

// TestStagesOfABowsLife walks a bow from the stave to the year after it was handed over.
func TestStagesOfABowsLife(t *testing.T) {
	w := newWorkshop(1)
	bow := ash()
	// 21 1/4 in to the back of a handle 1 1/4 in deep are 20 in to the belly, where the tree measures.
	bow.Order.Draw, bow.Order.DrawTo = measure.Some[measure.Length](21.25), model.ToBack
	bench := w.bench(t, bow)
	if got := bench.Story(); got.Stage() != "new" || got.Waits() != "a reading" {
		t.Errorf("a new bow is %q and waits for %q", got.Stage(), got.Waits())
	}
	coat := model.Finish{Step: "varnish", Coat: measure.Some(2)}
	for _, step := range []struct {
		event        model.Event
		stage, waits string
		inHand       bool
	}{
		{model.Note{Text: "dry nine years"}, "on the tree", "a reading", true},
		{pull(10, 20), "long string", "a longer pull, or the scraper", true},
		{braced(row(6, 5, 4), row(6, 5, 4)), "braced", "a longer pull, or the scraper", true},
		{scrape(model.Upper, 4, 12), "tillering, pass 1", "exercise, then a reading", true},
		{model.Exercise{Pulls: 20}, "tillering, pass 1", "a reading", true},
		{pull(20, 43), "tillering, pass 1", "a longer pull, or the scraper", true}, // more than 40 ± 2
		{scrape(model.Lower, 4, 12), "tillering, pass 2", "exercise, then a reading", true},
		{pull(20, 42), "tillering, pass 2", "finishing", true},
		{finish("horn nocks fitted"), "horn nocks fitted", "the next step of finishing", true},
		// With the nocks on, the last foot of each limb is tillered too (common practice).
		{scrape(model.Upper, 22, 33), "tillering, pass 3", "exercise, then a reading", true},
		{pull(20, 41), "tillering, pass 3", "finishing", true},
		{model.Rack{InHand: false, Why: "the customer is away"}, "set aside", "the customer is away", false},
		{model.Rack{InHand: true}, "tillering, pass 3", "finishing", true},
		{coat, "varnish, coat 2", "the next step of finishing", true},
		{finish(model.HandedOver), model.HandedOver, "", false},
		{model.Note{Text: "wrote: shoots well"}, model.HandedOver, "", false},
		{model.Rack{InHand: true}, "came back", "a look and a weighing", true},
		{model.Rack{InHand: true}, "came back", "a look and a weighing", true}, // said twice, as two books may
		{model.Rack{InHand: false, Why: "waits for a string"}, "set aside", "waits for a string", false},
		{model.Rack{InHand: true}, "came back", "a look and a weighing", true},
		{pull(20, 40), "came back", "handing over again, or the scraper", true},
		{scrape(model.Upper, 4, 12), "tillering, pass 4", "exercise, then a reading", true},
		{finish("sanded"), "sanded", "the next step of finishing", true},
		{finish(model.HandedOver), model.HandedOver, "", false},
	} {
		w.add(t, bench, step.event)
		story := bench.Story()
		if story.Stage() != step.stage || story.Waits() != step.waits || story.InHand != step.inHand {
			t.Errorf("after %#v the bow is %q, waits for %q, in hand %t; want %q, %q, %t", step.event,
				story.Stage(), story.Waits(), story.InHand, step.stage, step.waits, step.inHand)
		}
	}
	undo(t, bench)
	if got := bench.Story(); got.Stage() != "sanded" || !got.InHand {
		t.Errorf("when handing over is undone the bow is %q, in hand %t", got.Stage(), got.InHand)
	}
}

// Wood that comes off after the exercise has not been worked: exercise is asked for again before the bow
// is read. When the further scrape is undone, the exercise before it counts again.
func TestExerciseIsAskedForAfterEveryScrape(t *testing.T) {
	w, bench := atBench(t, braced(row(6, 5, 4), row(6, 5, 4)))
	exercise := model.Exercise{Pulls: 20}
	for n, step := range []model.Event{
		scrape(model.Upper, 4, 12), exercise, scrape(model.Lower, 4, 12), nil, scrape(model.Lower, 12, 20), exercise,
	} {
		if step == nil {
			undo(t, bench)
		} else {
			w.add(t, bench, step)
		}
		story, asked := bench.Story(), n%2 == 0
		if (story.Waits() == "exercise, then a reading") != asked || (story.Turn() == session.TurnExercise) != asked {
			t.Errorf("after step %d the bow waits for %q, it is the turn of %q", n, story.Waits(), story.Turn())
		}
	}
}

func TestStageAndWaitsCanBeShown(t *testing.T) {
	w, bench := atBench(t, finish("polished \x1b[31mred\u202e"))
	if got := bench.Story().Stage(); got != "polished [31mred" {
		t.Errorf("the stage is %q", got)
	}
	w.add(t, bench, model.Rack{Why: "horn\x07\nordered"})
	if got := bench.Story().Waits(); got != "horn ordered" {
		t.Errorf("the bow waits for %q", got)
	}
}
