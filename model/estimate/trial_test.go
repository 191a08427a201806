package estimate_test

import (
	"math"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/treetest"
)

// TestTrialDerivatives compares the derivatives of a bow with wood off with differences.
func TestTrialDerivatives(t *testing.T) {
	stave, st := someStave(t, 80, 0, lines16)
	stretches := []estimate.Stretch{{Side: model.Upper, From: 0, To: 6}, {Side: model.Upper, From: 10, To: 14},
		{Side: model.Lower, From: 20, To: 26}}
	trial, err := st.Try(stave.Draw, estimate.Aim{}, 8, stretches)
	check(t, err)
	at := []float64{0.1, 0.02, 0.2}
	with := func(j int, by float64) estimate.Tried {
		losses := append([]float64(nil), at...)
		losses[j] += by
		out, err := trial.With(losses)
		check(t, err)
		return out
	}
	now := with(0, 0)
	const h = 1e-4
	near := func(what string, j int, got, high, low float64) {
		if want := (high - low) / 2 / h; math.Abs(got-want) > 1e-5*(1+math.Abs(want)) {
			t.Errorf("%s by stretch %d: %v, by differences %v", what, j, got, want)
		}
	}
	for j := range stretches {
		high, low := with(j, h), with(j, -h)
		near("log force", j, now.ForceBy[j], math.Log(high.Force), math.Log(low.Force))
		near("tiller", j, now.TillerBy[j], high.Tiller, low.Tiller)
		for _, side := range model.Sides {
			for i := range now.Limbs[side].At {
				near("deviation", j, now.Limbs[side].By[i][j], high.Limbs[side].Deviation[i],
					low.Limbs[side].Deviation[i])
			}
		}
	}
}

// TestRemovedIsWhatCameOff scrapes more or less than the entry says: the readings show what came off, and
// their bands hold it.
func TestRemovedIsWhatCameOff(t *testing.T) {
	t.Parallel()
	var held, seen tally
	var errs []float64
	for i := range series.Count(20, 200) {
		r := series.Rand(t, 81, i)
		stave := treetest.New(r, treetest.Rough{Stiffness: 0.08, Width: 3, Rest: 0.0003, Heavy: 1.3})
		plan := blocks(stave.Draw)
		st := folded(t, r, &stave, plan)
		said := 0.02 + 0.03*r.Float64() // of the depth
		truth := st.Bow().Loss(said) * math.Exp(0.25*r.NormFloat64())
		from := 2 + 16*r.Float64()
		stave.Work(r, []treetest.Scraping{{Side: model.Lower, From: from, To: from + 8, Loss: truth}}, 0)
		pass := stave.Read(r, plan)
		pass.Scrapes = []estimate.Scrape{{Side: model.Lower, From: from, To: from + 8, Share: said}}
		st, err := st.Fold(pass)
		check(t, err)
		removed := st.Removed()
		if len(removed) != 1 {
			t.Fatalf("%+v", removed)
		}
		held.holds(removed[0].Loss, truth)
		errs = append(errs, math.Abs(removed[0].Loss.Estimate-truth))
		if removed[0].OK {
			seen.holds(removed[0].Seen, truth)
		}
	}
	median := treetest.Quantile(errs, 0.5)
	t.Logf("bands of what came off hold the truth in %v of %d, those of the readings alone in %v of %d; "+
		"off by %.4f of log stiffness in the median", held, held.all, seen, seen.all, median)
	if held.share() < 0.7 || seen.share() < 0.7 || seen.all < held.all/2 {
		t.Errorf("bands hold %v and %v", held, seen)
	}
	if median > 0.03 {
		t.Errorf("off by %.4f in the median", median)
	}
}
