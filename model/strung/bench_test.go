package strung_test

import (
	"math"
	"testing"

	"bendbook/model/strung"
)

// twentyKnots is the inch bow with twenty knots a limb and readings at stations.
func twentyKnots() (strung.Bow, strung.Places) {
	limb := strung.Limb{Length: 34}
	var places strung.LimbPlaces
	for i := range 20 {
		s := 34 * float64(i) / 19
		limb.At = append(limb.At, s)
		limb.Stiffness = append(limb.Stiffness, 60000*math.Max(1-s/34, 0.1))
		limb.RestBend = append(limb.RestBend, 0.001)
	}
	limb.At[19] = 34
	places.Block = 6
	for s := 4.0; s <= 32; s += 4 {
		places.At = append(places.At, s)
		if s < 31 {
			places.BlockAt = append(places.BlockAt, s)
		}
	}
	places.At = append(places.At, 34)
	return strung.Bow{Handle: 4, Upper: limb, Lower: limb, Between: strung.LogLinear},
		strung.Places{places, places}
}

// BenchmarkWarmSolve solves the inch bow at two draws an inch apart in turn, each from
// the answer to the other.
func BenchmarkWarmSolve(b *testing.B) {
	s, err := strung.New(inchBow(), strung.ByBrace(6))
	check(b, err)
	var sol strung.Solution
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		check(b, s.Draw(27+float64(i&1), &sol))
	}
}

// BenchmarkColdCurve20 makes a solver, braces the inch bow and draws it to 20 draws.
func BenchmarkColdCurve20(b *testing.B) {
	bow := inchBow()
	b.ReportAllocs()
	for b.Loop() {
		s, err := strung.New(bow, strung.ByBrace(6))
		check(b, err)
		var sol strung.Solution
		for i := range 20 {
			check(b, s.Draw(6+22*float64(i+1)/20, &sol))
		}
	}
}

// BenchmarkDerivatives20 changes the bow, braces and draws it, and finds all derivatives of the solution and
// of readings at 9 stations and 7 blocks a limb with respect to 20 knots a limb, string and draw.
func BenchmarkDerivatives20(b *testing.B) {
	bow, places := twentyKnots()
	s, err := strung.New(bow, strung.ByBrace(6))
	check(b, err)
	check(b, s.SetPlaces(places))
	var sol strung.Solution
	var d strung.Derivatives
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		bow.Upper.Stiffness[5] = 40000 + 400*float64(i&1)
		check(b, s.Set(bow, strung.ByBrace(6)))
		check(b, s.Draw(28, &sol))
		check(b, s.Derive(&sol, &d))
	}
}
