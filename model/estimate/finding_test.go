package estimate_test

import (
	"math"
	"slices"
	"testing"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/estimate"
	"bendbook/model/treetest"
)

// evenBow is a planed straight bow that bends by the compass, of a random size and weight.
func evenBow(t testing.TB, table, i int) treetest.Stave {
	r := series.Rand(t, table, i)
	stave := treetest.New(r, treetest.Rough{Rest: 0.0002, Heavy: 1})
	var compass aim.Aim
	stave.Even(compass.Bend)
	return stave
}

// TestEvenLimbsHaveNoFindings counts limbs that bend exactly by the aim and yet get a finding: at most 5 %.
func TestEvenLimbsHaveNoFindings(t *testing.T) {
	t.Parallel()
	for table, plan := range []func(float64) treetest.Plan{blocks, lines16} {
		limbs, alarms := 0, 0
		for i := range series.Count(6, 200) {
			stave := evenBow(t, 30, i)
			st := folded(t, series.Rand(t, 31+table, i), &stave, plan(stave.Draw))
			found := findings(t, st, stave.Draw)
			for _, side := range model.Sides {
				limbs++
				if slices.ContainsFunc(found, func(f estimate.Finding) bool { return f.Side == side }) {
					alarms++
				}
			}
		}
		t.Logf("plan %d: %d of %d even limbs get a finding", table, alarms, limbs)
		if float64(alarms) > 0.05*float64(limbs)+0.5 {
			t.Errorf("plan %d: %d of %d even limbs get a finding", table, alarms, limbs)
		}
	}
}

// TestFlatsAreFound counts flats of 30 % more stiffness over 6 in that are found, at random places of even
// limbs: at least 95 %.
func TestFlatsAreFound(t *testing.T) {
	t.Parallel()
	found, n := 0, series.Count(6, 200)
	for i := range n {
		stave := evenBow(t, 40, i)
		r := series.Rand(t, 41, i)
		from := 2 + r.Float64()*(0.9*stave.Bow.Upper.Length-10)
		stave.Step(model.Upper, from, from+6, 1.3)
		st := folded(t, r, &stave, blocks(stave.Draw))
		if slices.ContainsFunc(findings(t, st, stave.Draw), func(f estimate.Finding) bool {
			return f.Side == model.Upper && !f.Hinge && min(f.To, from+6)-max(f.From, from) > 2
		}) {
			found++
		}
	}
	t.Logf("%d of %d flats found", found, n)
	bar := 0.95 * float64(n)
	if n < 100 {
		bar -= 2 // that many more may be missed by chance in the short run
	}
	if float64(found) < bar {
		t.Errorf("%d of %d flats found", found, n)
	}
}

// TestAFindingSaysWhatTheCurveShows reads flats at random places without error, which the estimate can't know:
// nearly all are told in their place, and their deviation is the mean of that of places an inch apart. A curve
// between knots shows some two thirds of a step, and never more than all of it.
func TestAFindingSaysWhatTheCurveShows(t *testing.T) {
	t.Parallel()
	sum, told, n := 0.0, 0, series.Count(6, 60)
	for i := range n {
		stave := evenBow(t, 45, i)
		r := series.Rand(t, 46, i)
		from := 2 + math.Floor(r.Float64()*(0.9*stave.Bow.Upper.Length-10))
		stave.Step(model.Upper, from, from+6, 1.3)
		plan := blocks(stave.Draw)
		st, err := stave.Estimated(plan).Prior()
		check(t, err)
		plan.Rule, plan.Scale = 0, 0
		exact := stave.Read(nil, plan)
		exact.Hangs[0].Brace = stave.Brace
		st, err = st.Fold(exact)
		check(t, err)
		all := findings(t, st, stave.Draw)
		if len(all) == 0 {
			continue
		}
		f := all[0]
		told++
		_, truth := deviation(&stave, model.Upper, f.From, f.To)
		if f.Side != model.Upper || f.Hinge || min(f.To, from+6)-max(f.From, from) < 4 || f.To-f.From > 10 {
			t.Errorf("bow %d: %+v for a flat from %v to %v", i, f, from, from+6)
		}
		var at []float64
		for x := f.From + 0.25; x < f.To; x += 0.5 {
			at = append(at, x)
		}
		both, err := st.Bending(stave.Draw, estimate.Aim{}, [2][]float64{at, at})
		check(t, err)
		mean := 0.0
		for _, d := range both[f.Side].Deviation {
			mean += d.Estimate / float64(len(at))
		}
		if math.Abs(mean-f.Deviation.Estimate) > 0.02 {
			t.Errorf("bow %d: %+v, where the curve shows %.3f in the mean", i, f, mean)
		}
		sum += f.Deviation.Estimate / truth
	}
	share := sum / float64(told)
	t.Logf("%d of %d told, at %.2f of their true deviation", told, n, share)
	if told < n-1-n/20 || share < 0.5 || share > 1 {
		t.Errorf("%d of %d told, at %.2f of their true deviation", told, n, share)
	}
}

// TestGapsAloneSayNothingOfShape has gaps to the string at 6, 8 and 12 in and peaks: they give the tiller and
// no finding.
func TestGapsAloneSayNothingOfShape(t *testing.T) {
	for i := range series.Count(10, 100) {
		stave, st := someStave(t, 50, i, gapsOnly)
		if found := findings(t, st, stave.Draw); len(found) > 0 {
			t.Errorf("bow %d: %+v", i, found)
		}
		tiller, err := st.Tiller(8)
		if err != nil || tiller[0].High-tiller[0].Low > 0.25 {
			t.Errorf("bow %d: tiller %+v, %v", i, tiller, err)
		}
		unsure, err := st.Unsure(stave.Draw, estimate.Aim{})
		if err != nil || len(unsure) < 2 {
			t.Errorf("bow %d: nothing is unsure: %+v, %v", i, unsure, err)
		}
	}
}

// TestWhatCouldStillHide puts flats of the size that is said to be hidden where it is said so: most are found,
// and half as large ones mostly are not.
func TestWhatCouldStillHide(t *testing.T) {
	t.Parallel()
	n, found, small := 0, 0, 0
	for i := range series.Count(24, 100) {
		stave := evenBow(t, 55, i)
		r := series.Rand(t, 56, i)
		st := folded(t, r, &stave, lines16(stave.Draw))
		unsure, err := st.Unsure(stave.Draw, estimate.Aim{})
		check(t, err)
		for _, u := range unsure {
			if !(u.Hidden > 0 && u.Hidden <= 1) {
				t.Errorf("bow %d: %+v", i, u)
			}
			if u.Side != model.Upper || u.Hidden > 0.6 {
				continue
			}
			from := u.From + r.Float64()*(u.To-u.From-estimate.HiddenWidth)
			finds := func(size float64) bool {
				flat := evenBow(t, 55, i)
				flat.Step(model.Upper, from, from+estimate.HiddenWidth, 1/(1-size))
				st := folded(t, r, &flat, lines16(flat.Draw))
				return slices.ContainsFunc(findings(t, st, flat.Draw), func(f estimate.Finding) bool {
					return f.Side == model.Upper && !f.Hinge && f.From < from+estimate.HiddenWidth && from < f.To
				})
			}
			n++
			if finds(u.Hidden) {
				found++
			}
			if finds(u.Hidden / 2) {
				small++
			}
			break
		}
	}
	t.Logf("of %d flats as large as could hide %d are found, of those half as large %d", n, found, small)
	if n == 0 || 5*found < 3*n || 2*small > n+1 {
		t.Errorf("of %d flats as large as could hide %d are found, of those half as large %d", n, found, small)
	}
}

// TestSureMeansSure counts, of findings said to be p sure on all kinds of staves, those that truly are off by
// more than a third of the size that a finding must have: at least p, in four bins. A place is off by 4 %,
// not by the 12 % of the bar or by what the finding says, to be counted as right: that is what
// [estimate.Finding] means by its chance.
func TestSureMeansSure(t *testing.T) {
	t.Parallel()
	bins := [...]struct{ from, to float64 }{{0.80, 0.90}, {0.90, 0.95}, {0.95, 0.98}, {0.98, 1}}
	var right, all [len(bins)]int
	var sum [len(bins)]float64
	var held band
	for i := range series.Count(10, 300) {
		r := series.Rand(t, 60, i)
		stave := treetest.New(r, treetest.Staves(r))
		if i%2 == 0 {
			stave = evenBow(t, 60, i)
			for range 1 + r.IntN(3) {
				from := r.Float64() * 0.7 * stave.Bow.Upper.Length
				stave.Step(model.Sides[r.IntN(2)], from, from+4+6*r.Float64(), math.Exp(0.2*r.NormFloat64()))
			}
		}
		plan := blocks(stave.Draw)
		if i%4 > 1 {
			plan = lines16(stave.Draw)
		}
		st := folded(t, r, &stave, plan)
		for _, f := range findings(t, st, stave.Draw) {
			truth, whole := deviation(&stave, f.Side, f.From, f.To)
			held.add(f.Deviation, whole)
			if !f.Hinge {
				truth = -truth
			}
			for b, bin := range bins {
				if f.Chance >= bin.from && f.Chance < bin.to {
					all[b]++
					sum[b] += f.Chance
					if truth > 0.12/3 {
						right[b]++
					}
				}
			}
		}
	}
	// The short run has too few findings for four bins; taken together they may fall short by three standard
	// deviations.
	n, hits, claimed := 0.0, 0.0, 0.0
	for b := range bins {
		n, hits, claimed = n+float64(all[b]), hits+float64(right[b]), claimed+sum[b]
	}
	if hits < claimed-3*math.Sqrt(claimed*(n-claimed)/n) {
		t.Errorf("%v of %v findings are right, %.1f are claimed to be", hits, n, claimed)
	}
	for b, bin := range bins {
		share, said := float64(right[b])/float64(all[b]), sum[b]/float64(all[b])
		t.Logf("said %.2f to %.2f (mean %.3f) sure: %d of %d right, %.3f", bin.from, bin.to, said, right[b],
			all[b], share)
		// The bar is p itself; a true chance of just p would miss it in every second run, so one and a half
		// standard deviations of counting are left to chance.
		if all[b] > 50 && share < said-1.5*math.Sqrt(said*(1-said)/float64(all[b])) {
			t.Errorf("said %.3f sure, right %.3f", said, share)
		}
	}
	t.Logf("bands of the deviation hold the truth in %.2f of %d", held.share(), held.all)
}

// The band of the unevenness holds that of computed staves nine times in ten, also where the readings show
// little of it.
func TestTheUnevennessOfStavesIsInItsBand(t *testing.T) {
	t.Parallel()
	for table, c := range []struct {
		name string
		plan func(float64) treetest.Plan
	}{{"line in 1/16", lines16}, {"blocks", blocks}} {
		var held band
		off := 0.0
		for i := range series.Count(25, 200) {
			stave, st := someStave(t, 40+table, i, c.plan)
			both, err := st.Unevenness(stave.Draw, estimate.Aim{})
			check(t, err)
			for _, side := range model.Sides {
				truth := stave.Uneven(side)
				held.add(both[side], truth)
				off += math.Log(both[side].Estimate / truth)
			}
		}
		t.Logf("%s: 90 %% bands held %d of %d, log of estimate over truth %+.3f in the mean", c.name, held.in,
			held.all, off/float64(held.all))
		if least := map[bool]float64{true: 0.85, false: 0.75}[series.Long]; held.share() < least {
			t.Errorf("%s: the bands held %.2f, want %.2f", c.name, held.share(), least)
		}
		if mean := math.Abs(off) / float64(held.all); mean > 0.15 {
			t.Errorf("%s: unevenness is off by %.2f in the mean of its logarithm", c.name, mean)
		}
	}
}

// A bow that is nowhere compared has no unevenness, and one of which nothing was read is not called even.
func TestUnevennessWhereLittleIsKnown(t *testing.T) {
	r := series.Rand(t, 42, 0)
	stave := treetest.New(r, treetest.Staves(r))
	prior, err := stave.Estimated(treetest.Full(0)).Prior()
	check(t, err)
	both, err := prior.Unevenness(stave.Draw, estimate.Aim{StiffTips: 99})
	if err != nil || both != [2]estimate.Figure{} {
		t.Errorf("nowhere compared: %+v, %v", both, err)
	}
	both, err = prior.Unevenness(stave.Draw, estimate.Aim{})
	if err != nil || both[0].Estimate < 0.05 || both[0].High-both[0].Low < 0.05 {
		t.Errorf("nothing read: %+v, %v", both, err)
	}
}
