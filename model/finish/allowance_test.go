package finish

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestAllowancesByHand(t *testing.T) {
	for _, c := range []struct {
		name            string
		losses          []float64
		mean, low, high float64
	}{
		// Common practice alone: ± 1.645 √(1.25² + 1.25²) %.
		{"no bow", nil, 0.025, -0.00408, 0.05408},
		// Two bows at the mean, in half pounds of 40 lb: (4·1² + 0)/6 = 0.6667 = σ², precision 1 + 2/0.6667 = 4,
		// ± 1.645 √(1/4 + 0.6667) of 1.25 %.
		{"two like it", []float64{0.025, 0.025}, 0.025, 0.00531, 0.04469},
	} {
		a := Learn(0.025, c.losses)
		far := func(got, want float64) bool { return math.Abs(got-want) > 0.00002 }
		if far(a.Mean, c.mean) || far(a.Low, c.low) || far(a.High, c.high) || a.Count != len(c.losses) {
			t.Errorf("%s: %+v, want %v (%v to %v)", c.name, a, c.mean, c.low, c.high)
		}
	}
}

// The usual normal-normal estimate, where the bows do not differ more than is supposed: with σ² learnt from
// the bows.
func TestAllowancesLeanTowardsTheShopsOwnBowsAsTheyAreMore(t *testing.T) {
	last := 0.025
	for n := 1; n <= 12; n++ {
		losses := make([]float64, n)
		for i := range losses {
			losses[i] = 0.0375
		}
		a := Learn(0.025, losses)
		if !(a.Mean > last && a.Mean < 0.0375) || a.Count != n {
			t.Fatalf("%d bows that lost 3.75 %%: %+v, after %v", n, a, last)
		}
		last = a.Mean
	}
	if last < 0.03625 {
		t.Errorf("after twelve bows that lost 3.75 %% it is %.4f", last)
	}
}

func TestOneOddBowIsWeighedByTheBand(t *testing.T) {
	alone := Learn(0.025, []float64{0.25})
	if alone.Mean > 0.045 || alone.Odd != 1 {
		t.Errorf("one bow that lost a quarter: %+v", alone)
	}
	usual := []float64{0.0225, 0.0275, 0.025, 0.03, 0.02}
	with, without := Learn(0.025, append(usual, 0.25)), Learn(0.025, usual)
	if off := math.Abs(with.Mean - without.Mean); off > 0.005 || with.Odd != 1 {
		t.Errorf("an odd one among five moves them by %.4f: %+v, %+v", off, with, without)
	}
}

// Of random shops, woods and bows nine tenths of the next losses lie in the band: .85 to .95 (mechanics,
// bands must be honest).
func TestBandsOfAllowancesHoldNineTenths(t *testing.T) {
	chance := rand.New(rand.NewPCG(20270201, 1))
	for n := range 9 {
		held, all := 0, 4000
		for range all {
			wood := 0.0125 * chance.NormFloat64()
			losses := make([]float64, n)
			for i := range losses {
				losses[i] = 0.025 + wood + 0.0125*chance.NormFloat64()
			}
			a := Learn(0.025, losses)
			if next := 0.025 + wood + 0.0125*chance.NormFloat64(); next >= a.Low && next <= a.High {
				held++
			}
		}
		share := float64(held) / float64(all)
		t.Logf("%d bows: %.3f", n, share)
		if share < 0.85 || share > 0.95 {
			t.Errorf("after %d bows the band holds %.3f", n, share)
		}
	}
}
