package estimate_test

import (
	"math"
	"slices"
	"testing"

	"bendbook/model/estimate"
	"bendbook/model/treetest"
)

// readWell is a stave read at eight pulls, with the readings changed before they are folded.
func readWell(t *testing.T, i int, change func(p *estimate.Pass)) estimate.State {
	t.Helper()
	r := series.Rand(t, 83, i)
	stave := treetest.New(r, treetest.Staves(r))
	plan := lines16(stave.Draw)
	for _, short := range []float64{8, 5, 2, 1} {
		plan.Draws = append(plan.Draws, plan.Draws[3]-short)
	}
	slices.Sort(plan.Draws)
	plan.LineDraws = plan.Draws
	pass := stave.Read(r, plan)
	change(&pass)
	return fold(t, stave.Estimated(plan), pass)
}

// What the shop does to its readings is named; readings that nothing is the matter with are said to fit.
func TestTheCauseOfAMisfitIsNamed(t *testing.T) {
	for _, c := range []struct {
		name   string
		cause  estimate.Cause
		change func(*estimate.Pass)
	}{
		{"as it should be", 0, func(*estimate.Pass) {}},
		// The belly stands farther from the wall by what the support sinks, half an inch at 40 lb.
		{"support", estimate.Support, func(p *estimate.Pass) {
			for _, pull := range p.Hangs[0].Pulls {
				for k := range pull.Line {
					pull.Line[k].Value += 0.5 * pull.Peak / 40
				}
			}
		}},
		{"direction", estimate.Direction, func(p *estimate.Pass) {
			for k := range p.Hangs[0].Pulls {
				p.Hangs[0].Pulls[k].Peak *= 1 + 0.05*float64(k%2*2-1)
			}
		}},
		{"rule", estimate.ByReading, func(p *estimate.Pass) {
			for k, pull := range p.Hangs[0].Pulls {
				for j := range pull.Line {
					pull.Line[j].Value += 0.07 * float64((k+j)%2*2-1)
				}
			}
		}},
	} {
		named := 0
		n := series.Count(5, 60)
		for i := range n {
			fit := readWell(t, i, c.change).Fit()
			if fit.Cause == c.cause && fit.Good == (c.cause == 0) {
				named++
			} else {
				t.Logf("%s, bow %d: %+v", c.name, i, fit)
			}
		}
		if named < n*4/5 {
			t.Errorf("%s: named in %d of %d bows", c.name, named, n)
		}
	}
}

// Of three pulls one was read five pounds low. Without it the bow could be far stronger than with it, so the
// stop line lies no farther than any two of the peaks allow, the range of the weight holds the truth, and two
// peaks are shown that can't both be right.
func TestNoSinglePeakDecides(t *testing.T) {
	for i := range series.Count(6, 60) {
		r := series.Rand(t, 84, i)
		stave := treetest.New(r, treetest.Staves(r))
		plan := lines16(stave.Draw)
		plan.Draws = plan.Draws[1:]
		plan.LineDraws = plan.Draws
		pass := stave.Read(r, plan)
		last := &pass.Hangs[0].Pulls[2]
		last.Peak -= 5
		st := fold(t, stave.Estimated(plan), pass)
		line := stop(t, st, estimate.Limits{Weight: stave.Weight, Draw: stave.Draw})
		if over := stave.Force(line.Draw) - stave.Weight; line.Draw > 0 && over > 1 {
			t.Errorf("bow %d: the line at %v in is %.2f lb over", i, line.Draw, over)
		}
		named := len(st.Wild()) > 0 && st.Wild()[0].Where.Draw == last.Draw
		disputed := slices.ContainsFunc(st.Disputed(), func(w estimate.Wild) bool {
			return w.Where.Draw == last.Draw
		})
		if !named && !disputed {
			t.Errorf("bow %d: the peak at %v in is neither wild nor disputed: %+v, %+v", i, last.Draw,
				st.Wild(), st.Disputed())
		}
		last.Peak += 5
		right := fold(t, stave.Estimated(plan), pass)
		wide, narrow := weight(t, st, stave.Draw), weight(t, right, stave.Draw)
		if math.Log(wide.High/wide.Low) <= math.Log(narrow.High/narrow.Low) {
			t.Errorf("bow %d: a wrong peak makes the range no wider: %+v, %+v", i, wide, narrow)
		}
	}
}
