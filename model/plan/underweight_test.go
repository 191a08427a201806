package plan_test

import (
	"math"
	"testing"

	"bendbook/model/estimate"
	"bendbook/model/plan"
)

// shortPulled is a bow of 72 in that was pulled to 18 in only: at 28 in it pulls some 44 or 45 lb, give or
// take 2 1/2.
func shortPulled(t testing.TB) estimate.State {
	t.Helper()
	bow := estimate.Bow{Handle: 4, Draw: 28, Weight: 40, Errors: estimate.UsualErrors(1.0/16, 0.5, false)}
	bow.Limbs = [2]estimate.Limb{{Length: 34}, {Length: 34}}
	pulls := []estimate.Pull{{Draw: 14, Peak: 17.2}, {Draw: 17, Peak: 23.4}, {Draw: 18, Peak: 25.4}}
	return folded(t, bow, estimate.Pass{Hangs: []estimate.Hang{{Brace: 6, Pulls: pulls}}})
}

// underOnceWorn is the chance of less than the least weight wanted after a plan, once the bow has lost
// what it loses by its first full draws: the logarithm of the weight is normal, and its band and the
// wear's error add by their squares.
func underOnceWorn(p plan.Plan) float64 {
	after := p.After.Weight
	// A band of 90% reaches 1.6449 standard deviations either way.
	spread := math.Hypot(math.Log(after.High/after.Low)/2/1.6449, p.Wear.Error)
	above := (math.Log(after.Estimate/p.Wanted.Least()) - p.Wear.Mean) / spread
	return math.Erfc(above/math.Sqrt2) / 2
}

// Wood can't be put back. Of twenty bows scraped by the plan at most one comes out under the least weight
// wanted; where nothing can be taken at such odds, nothing is, though the bow probably is too heavy, and
// more must be read first.
func TestAPlanRisksUnderweightInOneBowOfTwenty(t *testing.T) {
	st := shortPulled(t)
	var marks [2][]float64
	for side := range marks {
		marks[side] = []float64{4, 8, 12, 16, 20, 24, 28, 32}
	}
	for _, c := range []struct {
		weight float64
		cuts   bool
	}{{38, true}, {39, true}, {40, true}, {41, false}, {42, false}} {
		p, err := plan.Make(st, plan.Wanted{Draw: 28, Weight: c.weight, Under: 0.5, Over: 1, TillerAt: 8}, marks, nil)
		check(t, err)
		risk := underOnceWorn(p)
		if p.Now.Weight.Estimate < c.weight+1 {
			t.Fatalf("ordered at %v lb it weighs %+v, and is no test of how far a plan goes", c.weight, p.Now.Weight)
		}
		switch {
		case len(p.Cuts) > 0 != c.cuts:
			t.Errorf("ordered at %v lb: %d cuts, wanted any: %v", c.weight, len(p.Cuts), c.cuts)
		case c.cuts && risk > 0.05:
			t.Errorf("ordered at %v lb: the plan makes %.3f of such bows too weak", c.weight, risk)
		case !c.cuts && (risk <= 0.05 || p.Judge(nil) != plan.Unsure):
			t.Errorf("ordered at %v lb: with nothing taken %.3f of such bows are too weak, verdict %v",
				c.weight, risk, p.Judge(nil))
		}
	}
}
