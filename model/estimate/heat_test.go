package estimate_test

import (
	"errors"
	"math"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/treetest"
)

// A patched stretch may be a quarter stiffer, or not at all; the rest of the bow stays as it was.
func TestAPatchOpensStiffnessUpwards(t *testing.T) {
	_, st := someStave(t, 83, 0, lines16)
	patch := estimate.Heat{Side: model.Lower, From: 8, To: 18, Stiffer: 0.12, Stiffness: 0.12}
	after, err := st.Fold(estimate.Pass{Heats: []estimate.Heat{patch}})
	check(t, err)
	at := []float64{13, 26}
	was, now := stiffness(t, st, at)[model.Lower], stiffness(t, after, at)[model.Lower]
	if now[0].High < 1.2*was[0].High || now[0].Low > 1.05*was[0].Estimate ||
		math.Abs(now[1].Estimate/was[1].Estimate-1) > 1e-9 {
		t.Errorf("%+v became %+v", was, now)
	}
}

// A bow is set back by an inch with heat between two passes, each limb from 8 to 20 in. Its ranges are wider
// until it's read again, and hold before and after; no true reading is out of place.
func TestAHeatedBowIsReadAnew(t *testing.T) {
	const from, to, setback = 8, 20, 1.0
	bows := series.Count(24, 200)
	var held, after tally
	wild, readings := 0, 0
	for i := range bows {
		r := series.Rand(t, 82, i)
		stave := treetest.New(r, treetest.Staves(r))
		plan := lines16(stave.Draw)
		plan.Relaxed = true
		st := folded(t, r, &stave, plan)
		was := weight(t, st, stave.Draw)
		var heats []estimate.Heat
		stave.Change(func() {
			for _, side := range model.Sides {
				heats = append(heats, estimate.Heat{Side: side, From: from, To: to, Back: 0.4, Nock: 0.9,
					Stiffness: 0.03})
				limb := stave.Limb(side)
				for k, at := range limb.At {
					if at >= from && at <= to {
						limb.RestBend[k] -= setback / ((to - from) * (limb.Length - (from+to)/2))
					}
				}
			}
		})
		truth := stave.Force(stave.Draw)
		warm, err := st.Fold(estimate.Pass{Heats: heats})
		check(t, err)
		now := weight(t, warm, stave.Draw)
		if now.High-now.Low < 1.5*(was.High-was.Low) {
			t.Errorf("bow %d: %+v before the heat, %+v after it", i, was, now)
		}
		held.holds(now, truth)
		pass := stave.Read(r, plan)
		pass.Heats = heats
		again, err := st.Fold(pass)
		if errors.Is(err, estimate.ErrUnsolved) {
			t.Errorf("bow %d: contradictory", i)
			continue
		}
		check(t, err)
		wild += len(again.Wild())
		readings += len(pass.Relaxed) + len(pass.Hangs[0].Pulls)*(1+len(pass.Relaxed))
		after.holds(weight(t, again, stave.Draw), truth)
	}
	const says = "of %d bows %d ranges held before the next reading, %d after it; %d of %d readings out of place"
	t.Logf(says, bows, held.in, after.in, wild, readings)
	if held.in < bows*85/100 || after.in < bows*85/100 || wild > readings/200 {
		t.Errorf(says, bows, held.in, after.in, wild, readings)
	}
}
