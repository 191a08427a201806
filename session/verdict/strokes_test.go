package verdict_test

import (
	"math"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/treetest"
	"bendbook/session"
	"bendbook/session/verdict"
)

// counted is a story of a stave of measured widths and depths, read, scraped by strokes on both limbs that each
// truly take some inches, and read again.
func counted(t *testing.T, seed uint64, stroke float64) session.Story {
	t.Helper()
	w := newTree(t, seed)
	w.bow.Wood, w.bow.Section = "ash", "rectangle"
	sized(&w.bow, 0.8)
	w.read(10, 14, 18)
	const strokes = 14
	var work []treetest.Scraping
	for _, side := range model.Sides {
		w.add(model.Scrape{Limb: side, From: 6, To: 20, Tool: "Scraper ", Strokes: measure.Some(strokes)})
		loss := -3 * math.Log(1-strokes*stroke/0.8)
		work = append(work, treetest.Scraping{Side: side, From: 6, To: 20, Loss: loss})
	}
	w.stave.Work(w.r, work, 0)
	w.read(10, 14, 18)
	return w.story()
}

// TestStrokesOfAShop learns from stories what a scraper takes, and the estimate then expects it.
func TestStrokesOfAShop(t *testing.T) {
	t.Parallel()
	const truth = 0.0032
	var bows []session.Story
	for i := range 8 {
		bows = append(bows, counted(t, uint64(i), truth))
	}
	strokes := verdict.LearnStrokes(bows)
	learnt, ok := strokes.Of("scraper", "Ash")
	if !ok || learnt.Count != 16 || math.Abs(learnt.Depth.Estimate/truth-1) > 0.2 || learnt.Depth.Low > truth ||
		learnt.Depth.High < truth {
		t.Errorf("learnt %+v, truly %v", learnt, truth)
	}
	if _, ok := strokes.Of("rasp", "ash"); ok {
		t.Error("a rasp was never used")
	}
	story := counted(t, 99, truth)
	settings := verdict.Usual()
	meant := func() float64 {
		a, err := verdict.Of(story, settings, nil)
		if err != nil || len(a.CameOff) != 2 || !strings.Contains(a.CameOff[0].Says, "came off") {
			t.Fatalf("%v, %+v", err, a.CameOff)
		}
		return a.CameOff[0].Expected.Estimate
	}
	before := meant()
	settings.Strokes = strokes
	if after := meant(); after < 1.3*before {
		t.Errorf("with learnt strokes a loss of %.3f is expected, without of %.3f", after, before)
	}
}
