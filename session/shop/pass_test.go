package shop_test

import (
	"reflect"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

func TestPassBeginsAtTheFirstScrapeAfterAReading(t *testing.T) {
	w, bench := atBench(t)
	for _, step := range []struct {
		event model.Event
		pass  int
	}{
		{scrape(model.Upper, 4, 20), 0}, // roughing out, before anything was read, is part of the bow as it came
		{model.Note{Text: "knot at 21 in"}, 0},
		{pull(10, 12), 0},
		{model.Exercise{Pulls: 10}, 0},
		{scrape(model.Upper, 8, 16), 1},
		{scrape(model.Lower, 8, 16), 1},
		{model.Exercise{Pulls: 20}, 1},
		{braced(row(5, 4, 3), row(5, 4, 3)), 1},
		{pull(12, 15), 1},
		{model.Note{Text: "even"}, 1},
		{scrape(model.Lower, 12, 16), 2},
		{model.StringLength{Length: 69}, 2},
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
	if want := []string{"relaxed", "braced", "drawn 18 in", "drawn 18 1/2 in"}; !reflect.DeepEqual(labels, want) {
		t.Errorf("poses are %q, want %q; a pull without readings is none", labels, want)
	}
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
	if want := [][2]float64{{10, 12}, {18.0625, 21.5}, {20, 26}}; !reflect.DeepEqual(got, want) {
		t.Errorf("peaks are %v, want %v", got, want)
	}
	if got := known(t, "the peak at 18 in", pass.Peak(18)); got != 21.5 {
		t.Errorf("the peak at 18 in is %v, want the last, 21.5", got)
	}
	if pass.Peak(19).Known() || pass.Peak(22).Known() {
		t.Error("there is a peak at a draw where none was read")
	}
	if got := bench.Story().LongestDraw(); got != 22 {
		t.Errorf("the longest draw is %v, want 22, also where its peak was not read", got)
	}
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
