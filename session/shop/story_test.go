package shop_test

import (
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
)

func TestPassBeginsAtTheFirstScrapeAfterAReading(t *testing.T) {
	w, bench := atBench(t)
	for _, step := range []struct {
		event model.Event
		pass  int
	}{
		{scrape(model.Upper, 4, 20), 0}, // roughing out, before anything was read, is part of the bow as it came
		{model.Note{Text: "knot at 21 in"}, 0}, {pull(10, 12), 0}, {model.Exercise{Pulls: 10}, 0},
		{scrape(model.Upper, 8, 16), 1}, {scrape(model.Lower, 8, 16), 1}, {model.Exercise{Pulls: 20}, 1},
		{braced(row(5, 4, 3), row(5, 4, 3)), 1}, {pull(12, 15), 1}, {model.Note{Text: "even"}, 1},
		{scrape(model.Lower, 12, 16), 2}, {model.StringLength{Length: 69}, 2},
		{scrape(model.Lower, 16, 20), 2}, // a string's length is no reading of the bow
		{model.Relaxed{Readings: model.Readings{row(0, 0, 0.125)}}, 2},
		{scrape(model.Upper, 4, 8), 3},
	} {
		w.add(t, bench, step.event)
		story := bench.Story()
		line := story.Lines[len(story.Lines)-1]
		if got := story.Pass().Number; got != step.pass || line.Pass != step.pass {
			t.Errorf("after %#v the pass is %d, its own %d, want %d", step.event, got, line.Pass, step.pass)
		}
	}
	story := bench.Story()
	count := 0
	for n, pass := range story.Passes {
		if count += len(story.LinesOf(pass)); pass.Number != n {
			t.Errorf("pass %d stands at place %d", pass.Number, n)
		}
	}
	if one := story.Passes[1]; count != len(story.Lines) || len(one.Scrapes) != 2 || one.Exercised != 20 {
		t.Errorf("the passes hold %d lines of %d; pass 1 has %d scrapes, want 2, and %d pulls since its last, want 20",
			count, len(story.Lines), len(one.Scrapes), one.Exercised)
	}
}

func TestReadingsOfOneDrawWithinAnEighthAreOnePose(t *testing.T) {
	w, bench := atBench(t)
	w.add(t, bench, pullRead(18, 1, 2, 3), pullRead(18.125, 1, 2, 3.5), pullRead(18.5, 1, 2, 4), model.Relaxed{Readings: model.Readings{row(0)}},
		braced(row(5), row(5)), pull(20, 24))
	pass := bench.Story().Pass()
	var labels []string
	for _, pose := range pass.Poses() {
		labels = append(labels, pose.Label(bench.Story().Bow().Ruler()))
	}
	same(t, "poses", labels, []string{"relaxed", "braced", "drawn 18 in", "drawn 18 1/2 in"})
	rows, ok := pass.Reading(session.Pose{Kind: model.KindPull, From: model.FromLine, Draw: 18})
	if got := known(t, "the reading at 12 in", rows.At(model.Upper, 2)); !ok || got != 3.5 {
		t.Errorf("at 18 in and 12 in out the pass reads %v, want the later 3 1/2", got)
	}
	if _, ok := pass.Reading(session.Pose{Kind: model.KindPull, From: model.FromString, Draw: 18}); ok {
		t.Error("a distance to the line was taken for one to the string")
	}
}

func TestPeaksAreTheLastAtEachDraw(t *testing.T) {
	_, bench := atBench(t, pull(20, 26), pull(10, 12), pull(18, 22), pull(18.0625, 21.5), model.Pull{Draw: 22, From: model.FromLine})
	pass := bench.Story().Pass()
	var got [][2]float64
	for _, p := range pass.Peaks() {
		got = append(got, [2]float64{float64(p.Draw), float64(p.Peak.Or(-1))})
	}
	same(t, "peaks", got, [][2]float64{{10, 12}, {18.0625, 21.5}, {20, 26}})
	same(t, "the peak at 18 in", known(t, "the peak at 18 in", pass.Peak(18, 0)), 21.5)
	if pass.Peak(19, 0).Known() || pass.Peak(22, 0).Known() {
		t.Error("there is a peak at a draw where none was read")
	}
	same(t, "the longest draw", bench.Story().LongestDraw(), 22)
}

func TestWeightIsTheLastPassesLongestPull(t *testing.T) {
	w, bench := atBench(t, pull(20, 30), scrape(model.Upper, 4, 12))
	if got, pass, ok := bench.Story().Weight(); !ok || got.Draw != 20 || pass != 0 {
		t.Errorf("before the new pass is weighed the bow weighs %v in pass %d, want 30 lb at 20 in in pass 0", got, pass)
	}
	w.add(t, bench, pull(18, 24), pull(16, 20))
	if got, pass, ok := bench.Story().Weight(); !ok || got.Draw != 18 || got.Peak.Or(0) != 24 || pass != 1 {
		t.Errorf("the bow weighs %v in pass %d, want 24 lb at 18 in in pass 1", got, pass)
	}
}

func TestEarlierAndLatestReadings(t *testing.T) {
	_, bench := atBench(t, pullRead(18, 1), scrape(model.Upper, 4, 12), pullRead(20, 2), scrape(model.Upper, 4, 12), pullRead(18, 3))
	story, at18 := bench.Story(), session.Pose{Kind: model.KindPull, From: model.FromLine, Draw: 18}
	for _, c := range []struct {
		before, pass int
		want         measure.Length
	}{{3, 2, 3}, {99, 2, 3}, {2, 0, 1}, {1, 0, 1}} {
		rows, pass, ok := story.Earlier(at18, c.before)
		if got := rows.At(model.Lower, 0).Or(-1); !ok || pass != c.pass || got != c.want {
			t.Errorf("before pass %d the reading is %v of pass %d, want %v of pass %d", c.before, got, pass, c.want, c.pass)
		}
	}
	if _, _, ok := story.Earlier(at18, 0); ok {
		t.Error("there is a reading before pass 0")
	}
	if rows, pass, ok := story.Latest(at18); !ok || pass != 2 || rows.At(model.Upper, 0).Or(-1) != 3 {
		t.Errorf("the latest reading is %v of pass %d", rows, pass)
	}
}

// at is an entry made some time after monday, or without a time.
func at(t *testing.T, id string, since time.Duration) record.Item {
	t.Helper()
	entry := model.Entry{ID: id, What: model.Note{Text: id}}
	if since >= 0 {
		entry.At = monday.Add(since)
	}
	return need(record.NewItem(entry, ash().Units))(t)
}

const noTime = -1 * time.Nanosecond

func TestSessionEndsWithAGapOverFourHours(t *testing.T) {
	const h, m = time.Hour, time.Minute
	for _, c := range []struct {
		name  string
		times []time.Duration
		want  []int // session of each entry
	}{
		{"no entries", nil, nil},
		{"exactly four hours is still one sitting", []time.Duration{0, 4 * h, 8 * h}, []int{0, 0, 0}},
		{"a second more is not", []time.Duration{0, 4*h + time.Second}, []int{0, 1}},
		{"an entry without a time belongs to the one before", []time.Duration{0, noTime, 5 * h, noTime}, []int{0, 0, 1, 1}},
		{"so do those at the front", []time.Duration{noTime, noTime, 5 * h, 12 * h}, []int{0, 0, 0, 1}},
		{"a clock set back begins no sitting", []time.Duration{8 * h, 1 * h, 8*h + 10*m}, []int{0, 0, 0}},
		{"nor does it make the gap after it longer", []time.Duration{8 * h, 1 * h, 12 * h}, []int{0, 0, 0}},
	} {
		desc := need(record.Describe(ash()))(t)
		var items []record.Item
		for i, since := range c.times {
			items = append(items, at(t, string(rune('a'+i)), since))
		}
		story := session.Fold(desc, items)
		var got []int
		for i, s := range story.Sessions {
			for _, line := range story.LinesIn(s) {
				if got = append(got, i); s.Number != i+1 || line.Entry.At.After(s.To) {
					t.Errorf("%s: session %d has a line at %v: %+v", c.name, i, line.Entry.At, s)
				}
			}
		}
		same(t, c.name, got, c.want)
	}
}

// A story until a session knows nothing of later ones but which entries they voided.
func TestAStoryUntilASessionKnowsNothingOfTheNext(t *testing.T) {
	w, bench := atBench(t, pull(12, 20), pull(14, 99))
	wrong := lastID(bench)
	w.wait(24 * time.Hour)
	w.add(t, bench, scrape(model.Upper, 4, 10), pull(12, 18), model.Void{Entry: wrong})
	story := bench.Story()
	then := story.Until(story.Sessions[0])
	pull, pass, ok := then.Weight()
	if !ok || pass != 0 || pull.Draw != 12 || pull.Peak.Or(0) != 20 {
		t.Errorf("then it weighed %v (pass %d); want 20 at 12 in, for 99 was struck out", pull, pass)
	}
	if last := story.Until(story.Sessions[1]); len(last.Passes) != 2 {
		t.Errorf("until its last session it has %d passes, want both", len(last.Passes))
	}
}

// TestStagesOfABowsLife walks a bow from the stave to the year after it was handed over.
func TestStagesOfABowsLife(t *testing.T) {
	w := newWorkshop(1)
	bench := w.made(t, func(bow *model.Bow) {
		// 21 1/4 in to the back of a handle 1 1/4 in deep are 20 in to the belly, where the tree measures.
		bow.Order.Draw, bow.Order.DrawTo = measure.Some[measure.Length](21.25), model.ToBack
	})
	coat := model.Finish{Step: "varnish", Coat: measure.Some(2)}
	for _, step := range []struct {
		event       model.Event
		stage, word string // word is the verdict's
		inHand      bool
	}{
		{model.Note{Text: "dry nine years"}, "on the tree", "READ IT", true},
		{pull(10, 20), "long string", "READ LIMBS", true},
		{braced(row(5.75, 5.5, 5), row(5.75, 5.5, 5)), "braced", "PULL 12", true},
		{scrape(model.Upper, 4, 12), "tillering, pass 1", "EXERCISE", true},
		{model.Exercise{Pulls: 20}, "tillering, pass 1", "PULL 10", true}, // as far as before, to see what it did
		{pull(20, 43), "tillering, pass 1", "READ LIMBS", true},
		{scrape(model.Lower, 4, 12), "tillering, pass 2", "EXERCISE", true},
		{pull(20, 42), "tillering, pass 2", "EXERCISE", true},                // a reading before it settled
		{finish("horn nocks fitted"), "horn nocks fitted", "EXERCISE", true}, // it is still at the tree
		// With the nocks on, the last foot of each limb is tillered too (common practice).
		{scrape(model.Upper, 22, 33), "tillering, pass 3", "EXERCISE", true},
		{pull(20, 41), "tillering, pass 3", "EXERCISE", true},
		{model.Rack{InHand: false, Why: "the customer is away"}, "set aside", "ASIDE", false},
		{model.Rack{InHand: true}, "tillering, pass 3", "EXERCISE", true},
		{coat, "varnish, coat 2", "DRYING", true},
		{finish(model.HandedOver), model.HandedOver, "HANDED OVER", false},
		{model.Note{Text: "wrote: shoots well"}, model.HandedOver, "HANDED OVER", false},
		{model.Rack{InHand: true}, "came back", "LOOK IT OVER", true},
		{model.Rack{InHand: true}, "came back", "LOOK IT OVER", true}, // said twice, as two books may
		{model.Rack{InHand: false, Why: "waits for a string"}, "set aside", "ASIDE", false},
		{model.Rack{InHand: true}, "came back", "LOOK IT OVER", true},
		{pull(20, 40), "came back", "HAND OVER", true},
		{scrape(model.Upper, 4, 12), "tillering, pass 4", "EXERCISE", true},
		{finish("sanded"), "sanded", "WEIGH", true},
		{finish(model.HandedOver), model.HandedOver, "HANDED OVER", false},
	} {
		w.add(t, bench, step.event)
		story, v := bench.Story(), w.judge(t, bench)
		if story.Stage() != step.stage || v.Word != step.word || story.InHand != step.inHand {
			t.Errorf("after %#v the bow is %q, told %q, in hand %t; want %q, %q, %t", step.event,
				story.Stage(), v.Word, story.InHand, step.stage, step.word, step.inHand)
		}
	}
	undo(t, bench)
	if got := bench.Story(); got.Stage() != "sanded" || !got.InHand {
		t.Errorf("when handing over is undone the bow is %q, in hand %t", got.Stage(), got.InHand)
	}
}

func TestStageAndVerdictCanBeShown(t *testing.T) {
	w, bench := atBench(t, finish("polished \x1b[31mred\u202e"))
	same(t, "the stage", bench.Story().Stage(), "polished [31mred")
	w.add(t, bench, model.Rack{Why: "horn\x07\nordered"})
	same(t, "the verdict", w.judge(t, bench).Say, "Set aside: horn ordered.")
}
