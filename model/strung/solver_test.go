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

// TestWarmSolvesAllocateNothing holds for a new draw, a new bow, its readings and its derivatives.
func TestWarmSolvesAllocateNothing(t *testing.T) {
	bow := inchBow()
	s, err := strung.New(bow, strung.ByBrace(6))
	check(t, err)
	check(t, s.SetPlaces(stationsOn(bow)))
	var sol strung.Solution
	var r strung.Readings
	var d strung.Derivatives
	i := 0
	round := func() {
		i++
		bow.Upper.Stiffness[1] = 6000 + 60*float64(i&1)
		for _, err := range []error{
			s.Set(bow, strung.ByBrace(6)), s.Draw(27+float64(i&1), &sol), s.Draw(26+float64(i&1), &sol),
			s.Read(&sol, &r), s.Derive(&sol, &d),
		} {
			check(t, err)
		}
	}
	round()
	if n := testing.AllocsPerRun(50, round); n != 0 {
		t.Errorf("%v allocations in a warm round, want none", n)
	}
}

// inchBow is the inch bow of testdata/reference/bow_static.json, 72 in nock to nock: its stiffness falls
// from the root, linearly towards nothing at the nock, until a tenth is left.
func inchBow() strung.Bow {
	limb := strung.Limb{Length: 34, At: []float64{0, 30.6, 34}, Stiffness: []float64{60000, 6000, 6000}}
	return strung.Bow{Handle: 4, Upper: limb, Lower: limb}
}
