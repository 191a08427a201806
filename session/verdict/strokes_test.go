package verdict_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/model/virtualtest"
	"bendbook/session"
	"bendbook/session/verdict"
)

// counted is a story of a stave of measured widths and depths, read, scraped by strokes on both limbs that each truly take some inches, and read again.
func counted(t *testing.T, seed uint64, stroke float64) session.Story {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 1))
	stave := virtualtest.New(r, virtualtest.Rough{Stiffness: 0.08, Width: 3, Rest: 0.0003, Heavy: 1.4, Follow: 0.0002})
	reads := virtualtest.Full(1.0 / 32)
	reads.Block, reads.BlockEvery, reads.Gauge = 6, 4, 0.003
	bow := model.Bow{
		ID: "b", Name: "counted", Wood: "ash", Handle: measure.Length(stave.Bow.Handle), Section: "rectangle", Rule: 1.0 / 32, Scale: 0.1, Cradle: "clamped",
		Order: model.Order{Draw: measure.Some(measure.Length(stave.Draw)), DrawTo: "belly", Weight: measure.Some(measure.Force(stave.Weight))},
		Units: measure.Units{Length: measure.Inch, Force: measure.PoundForce},
	}
	depths := [2][]float64{}
	for _, side := range model.Sides {
		limb := &bow.Limbs[side]
		truth := stave.Limb(side)
		limb.Length = measure.Length(truth.Length)
		for _, at := range append(append([]float64{}, reads.Stations...), truth.Length) {
			if at > truth.Length || at < truth.Length && at >= truth.Length-1 {
				continue
			}
			i := int(math.Round(at / truth.Length * float64(len(truth.At)-1)))
			width := 1.2 - 0.6*at/truth.Length
			depth := math.Cbrt(12 * truth.Stiffness[i] / (1.7e6 * width))
			limb.Stations = append(limb.Stations, measure.Length(at))
			limb.Widths = append(limb.Widths, measure.Some(measure.Length(width)))
			limb.Depths = append(limb.Depths, measure.Some(measure.Length(depth)))
			depths[side] = append(depths[side], depth)
		}
	}
	desc, err := record.Describe(bow)
	if err != nil {
		t.Fatal(err)
	}
	var items []record.Item
	add := func(e model.Event) {
		key := record.Key{}
		key[15] = byte(len(items) + 1)
		item, err := record.NewItem(model.Entry{ID: key.String(), At: time.Unix(int64(1e9+60*len(items)), 0).UTC(), What: e}, bow.Units)
		if err != nil {
			t.Fatal(err)
		}
		item.Key = key
		items = append(items, item)
	}
	readings := func(all []estimate.Reading) model.Readings {
		var out model.Readings
		for _, r := range all {
			out[r.Side] = append(out[r.Side], measure.Some(measure.Length(r.Value)))
		}
		return out
	}
	read := func() {
		pass := stave.Read(r, reads)
		h := pass.Hangs[0]
		add(model.Braced{Height: measure.Some(measure.Length(h.Brace))})
		for _, p := range h.Pulls {
			add(model.Pull{Draw: measure.Length(p.Draw), Peak: measure.Some(measure.Force(p.Peak)), From: model.FromLine, Readings: readings(p.Line)})
		}
	}
	read()
	const strokes = 14
	var work []virtualtest.Scraping
	for _, side := range model.Sides {
		depth := depths[side][2]
		add(model.Scrape{Limb: side, From: 6, To: 20, Tool: "Scraper ", Strokes: measure.Some(strokes)})
		work = append(work, virtualtest.Scraping{Side: side, From: 6, To: 20, Loss: -3 * math.Log(1-strokes*stroke/depth)})
	}
	stave.Work(r, work, 0)
	read()
	return session.Fold(desc, items)
}

// TestStrokesOfAShop learns from stories what a scraper takes, and the estimate then expects it.
func TestStrokesOfAShop(t *testing.T) {
	const truth = 0.0032
	var bows []session.Story
	for i := range 8 {
		bows = append(bows, counted(t, uint64(i), truth))
		if found := verdict.CountedIn(bows[i]); len(found) != 2 {
			t.Fatalf("bow %d: %+v", i, found)
		}
	}
	strokes := verdict.LearnStrokes(bows)
	learnt, ok := strokes.Of("scraper", "Ash")
	if !ok || learnt.Count != 16 || math.Abs(learnt.Depth.Estimate/truth-1) > 0.2 || learnt.Depth.Low > truth || learnt.Depth.High < truth {
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
