package estimate_test

import (
	"math"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/virtualtest"
)

// The band of the unevenness holds that of virtual staves nine times in ten, also where the readings show
// little of it.
func TestTheUnevennessOfStavesIsInItsBand(t *testing.T) {
	t.Parallel()
	for table, c := range []struct {
		name string
		plan func(float64) virtualtest.Plan
	}{{"line in 1/16", func(d float64) virtualtest.Plan { return lines(d, 1.0/16) }}, {"blocks", blocks}} {
		var held band
		off := 0.0
		for i := range series.Count(25, 200) {
			r := series.Rand(t, 40+table, i)
			stave := virtualtest.New(r, virtualtest.Staves(r))
			st := folded(t, r, &stave, c.plan(stave.Draw))
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
	stave := virtualtest.New(r, virtualtest.Staves(r))
	prior, err := stave.Estimated(virtualtest.Full(0)).Prior()
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
