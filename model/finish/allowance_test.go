package finish

import (
	"math"
	"math/rand/v2"
	"testing"

	"bendbook/model/measure"
)

func TestAllowancesByHand(t *testing.T) {
	for _, c := range []struct {
		name            string
		losses          []measure.Force
		mean, low, high float64
	}{
		// Common practice alone: ± 1.645 √(0.25 + 0.25).
		{"no bow", nil, 1, -0.163, 2.163},
		// Two bows at the mean: (4·0.5² + 0)/6 = 0.1667 = σ², precision 4 + 2/0.1667 = 16, ± 1.645
		// √(1/16 + 0.1667).
		{"two like it", []measure.Force{1, 1}, 1, 0.212, 1.788},
	} {
		a := Learn(1, c.losses)
		far := func(got measure.Force, want float64) bool { return math.Abs(float64(got)-want) > 0.001 }
		if far(a.Mean, c.mean) || far(a.Low, c.low) || far(a.High, c.high) || a.Count != len(c.losses) {
			t.Errorf("%s: %+v, want %v (%v to %v)", c.name, a, c.mean, c.low, c.high)
		}
	}
}

// The usual normal-normal estimate, where the bows do not differ more than is supposed: with σ² learnt from
// the bows.
func TestAllowancesLeanTowardsTheShopsOwnBowsAsTheyAreMore(t *testing.T) {
	last := 1.0
	for n := 1; n <= 12; n++ {
		losses := make([]measure.Force, n)
		for i := range losses {
			losses[i] = 1.5
		}
		a := Learn(1, losses)
		if !(float64(a.Mean) > last && a.Mean < 1.5) || a.Count != n {
			t.Fatalf("%d bows that lost 1.5 lb: %+v, after %v", n, a, last)
		}
		last = float64(a.Mean)
	}
	if last < 1.45 {
		t.Errorf("after twelve bows that lost 1.5 lb it is %.2f", last)
	}
}

func TestOneOddBowIsWeighedByTheBand(t *testing.T) {
	alone := Learn(1, []measure.Force{10})
	if alone.Mean > 1.8 || alone.Odd != 1 {
		t.Errorf("one bow that lost 10 lb: %+v", alone)
	}
	usual := []measure.Force{0.9, 1.1, 1, 1.2, 0.8}
	with, without := Learn(1, append(usual, 10)), Learn(1, usual)
	if off := math.Abs(float64(with.Mean - without.Mean)); off > 0.2 || with.Odd != 1 {
		t.Errorf("an odd one among five moves them by %.2f lb: %+v, %+v", off, with, without)
	}
}

// Of random shops, woods and bows nine tenths of the next losses lie in the band: .85 to .95 (mechanics,
// bands must be honest).
func TestBandsOfAllowancesHoldNineTenths(t *testing.T) {
	chance := rand.New(rand.NewPCG(20270201, 1))
	for n := range 9 {
		held, all := 0, 4000
		for range all {
			wood := 1 + 0.5*chance.NormFloat64()
			losses := make([]measure.Force, n)
			for i := range losses {
				losses[i] = measure.Force(wood + 0.5*chance.NormFloat64())
			}
			a := Learn(1, losses)
			if next := measure.Force(wood + 0.5*chance.NormFloat64()); next >= a.Low && next <= a.High {
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
