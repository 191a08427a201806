package strung_test

import (
	"math"
	"testing"

	"bendbook/model/strung"
)

// TestErrorFallsWithTheFourthPowerOfTheSegment halves the segments and watches force and nock close in on
// those at a very fine grid. The scheme is of fourth order.
func TestErrorFallsWithTheFourthPowerOfTheSegment(t *testing.T) {
	// Even segments, without grading: stiffness halves from root to nock.
	limb := strung.Limb{Length: 34, At: []float64{0, 34}, Stiffness: []float64{40000, 20000},
		RestBend: []float64{0.002, -0.003}}
	bow := strung.Bow{Handle: 4, Upper: limb, Lower: limb}
	at := func(segments int) strung.Solution {
		s, err := strung.New(bow, strung.ByLength(70.4), strung.Segments(segments))
		check(t, err)
		var sol strung.Solution
		check(t, s.Draw(28, &sol))
		return sol
	}
	fine := at(256)
	var force, nock float64
	for _, n := range []int{2, 4, 8, 16} {
		sol := at(n)
		f := math.Abs(sol.Force - fine.Force)
		p := math.Hypot(sol.Upper.NockX-fine.Upper.NockX, sol.Upper.NockY-fine.Upper.NockY)
		if n > 2 {
			for _, order := range []float64{math.Log2(force / f), math.Log2(nock / p)} {
				if order < 3.5 {
					t.Errorf("from %d to %d segments the error falls with order %.2f", n/2, n, order)
				}
			}
		}
		force, nock = f, p
	}
}
