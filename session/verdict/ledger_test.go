package verdict_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// pulledOut is the ledger, and the readings taken twice, of computed bows that are pulled ever farther up to their
// order, twice to each draw, with the errors that are assumed but for the scale's, a multiple of that.
func pulledOut(t testing.TB, seed uint64, errs float64, by verdict.Settings) (off []float64, r verdict.Repeats) {
	t.Helper()
	t.Logf("seed %d", seed)
	for i := range uint64(12) {
		w := newTree(t, seed+i)
		w.r = rand.New(rand.NewPCG(seed, i))
		w.readEvery(0, 10, 12)
		offset, direction := w.r.NormFloat64()/16, 1+0.005*w.r.NormFloat64()
		for draw := 14.0; draw < w.stave.Draw+2; draw += 2 {
			draw = min(draw, w.stave.Draw)
			for range 2 {
				at := draw + offset + w.r.NormFloat64()/32
				peak := w.stave.Force(at)*direction*(1+0.006*w.r.NormFloat64()) + errs*0.3*w.r.NormFloat64()
				w.add(model.Pull{Draw: measure.Length(draw), Peak: pounds(peak), From: model.FromLine})
			}
		}
		off = append(off, verdict.LedgerOf(w.story(), by).Off...)
		r = r.With(verdict.RepeatsIn(w.story()))
	}
	return off, r
}

// holding is the share of promises that hold in ranges so much wider.
func holding(off []float64, wider float64) float64 {
	in := 0.0
	for _, z := range off {
		if math.Abs(z) <= wider*estimate.BandWidth {
			in++
		}
	}
	return in / float64(len(off))
}

// Ranges hold nine times in ten in a shop as assumed, and are left about as they are.
func TestRangesAreKept(t *testing.T) {
	off, r := pulledOut(t, 70, 1, verdict.Usual())
	if share := holding(off, 1); share < 0.88 || share > 0.97 {
		t.Errorf("%.2f of %d ranges hold", share, len(off))
	}
	if k := verdict.KeptOf(off); k.Of != len(off) || math.Abs(k.Scale-1) > 0.1 || r.Errors().Scale != 1 {
		t.Errorf("the ranges are scaled: %+v, %+v", k, r.Errors())
	}
}

// A scale four times as rough as assumed: from their own misses the ranges grow until they hold, and so they do, and
// need hardly more width, once the scale's error is learnt from peaks taken twice.
func TestARoughScaleIsLearnt(t *testing.T) {
	usual := verdict.Usual()
	off, r := pulledOut(t, 270, 4, usual)
	wide := verdict.KeptOf(off).Scale
	next, _ := pulledOut(t, 370, 4, usual)
	if before, after := holding(next, 1), holding(next, wide); wide < 1.3 || before > 0.82 || after < 0.85 {
		t.Errorf("ranges grow by %v, and then hold in %.2f after %.2f", wide, after, before)
	}
	if learnt := r.Errors().Scale; math.Abs(learnt-2.7) > 0.4 {
		t.Errorf("the scale's error is learnt as %v of what is assumed", learnt)
	}
	usual.Repeats = r
	next, _ = pulledOut(t, 370, 4, usual)
	if share, k := holding(next, 1), verdict.KeptOf(next); share < 0.85 || share > 0.97 || k.Scale > 1.1 {
		t.Errorf("with the error learnt %.2f hold, and ranges grow by %v", share, k.Scale)
	}
}

// The rule's error comes out of limbs read twice, whatever the bow's tilt and set between; after a scrape they say
// nothing.
func TestTheRulesErrorIsLearnt(t *testing.T) {
	const n = 60
	for k, times := range []float64{0.5, 1, 2, 0.5, 1, 2} {
		w, by := newTree(t, 7), model.ReadBy("")
		usual := estimate.UsualErrors(float64(w.bow.Rule), 0, false)
		assumed := usual.Line
		if k >= 3 {
			assumed, by = usual.Photo, model.ByPhoto
		}
		read := func() {
			var rows model.Readings
			for side, limb := range w.bow.Limbs {
				tilt, set := 0.01*w.r.NormFloat64(), 0.001*w.r.NormFloat64()
				for _, at := range limb.Stations {
					s := float64(at)
					v := 0.003*s*s + tilt*s + set*s*s + times*assumed*w.r.NormFloat64()
					rows[side] = append(rows[side], inches(v))
				}
			}
			w.add(model.Relaxed{Readings: rows, By: by})
		}
		for range n {
			read()
			read()
			w.add(model.Scrape{Limb: model.Upper, From: 4, To: 12})
		}
		r := verdict.RepeatsIn(w.story())
		got, other, learnt, want := r.Rule, r.Photo, r.Errors().Rule, max(times, 0.7)
		if by != "" {
			got, other, learnt, want = r.Photo, r.Rule, r.Errors().Photo, times
			if times <= 1 {
				want = 0 // what all pictures share doesn't show
			}
		}
		if other.Count > 0 {
			t.Errorf("%v: the other error learns %+v", by, other)
		}
		stations := len(w.bow.Limbs[model.Upper].Stations) + len(w.bow.Limbs[model.Lower].Stations)
		ratio, chance := got.Squares/float64(got.Count)/(times*times), math.Sqrt(2/float64(got.Count))
		if got.Count != n*(stations-4) || math.Abs(ratio-1) > 4*chance {
			t.Errorf("%v times the error: %+v", times, got)
		}
		if math.Abs(learnt-want) > 0.1*max(want, 1) {
			t.Errorf("%v times the error is learnt as %v", times, learnt)
		}
	}
}

// What other bows' ranges were worth widens or narrows those of a weight; the stop line never goes farther for it.
func TestTheLedgerScalesRanges(t *testing.T) {
	w := even(t, 1.3).readEvery(0, 12, 14, 16, 18, 20)
	width := func(f estimate.Figure) float64 { return math.Log(f.High / f.Estimate) }
	usual := w.says(verdict.Usual())
	for _, z := range []float64{0.1, 6} {
		settings := verdict.Usual()
		settings.Off = slices.Repeat([]float64{z, -z}, 100)
		a := w.says(settings)
		if want := map[float64]float64{0.1: 0.8, 6: 2.5}[z]; a.Kept.Scale != want {
			t.Fatalf("promises off by %v scale ranges by %v", z, a.Kept.Scale)
		}
		now, then := a.Weight.Or(estimate.Forecast{}).Force, usual.Weight.Or(estimate.Forecast{}).Force
		if got := width(now) / width(then); math.Abs(got-a.Kept.Scale) > 1e-6 {
			t.Errorf("the weight's range is %v times as wide, not %v", got, a.Kept.Scale)
		}
		stop, _ := a.Next.Get()
		before, _ := usual.Next.Get()
		if stop.Draw > before.Draw || width(stop.Force) < width(before.Force)-1e-9 && stop.Draw == before.Draw {
			t.Errorf("promises off by %v take the stop line from %v to %v in", z, before.Draw, stop.Draw)
		}
		if strip := a.Strips[len(a.Strips)-1].Weight.Or(estimate.Figure{}); math.Abs(strip.High-now.High) > 1e-6 {
			t.Errorf("the strip says %+v, the forecast %+v", strip, now)
		}
	}
}
