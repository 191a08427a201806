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

// TestWarmSolvesAllocateNothing holds for a new draw, a new bow, its readings and its derivatives.
func TestWarmSolvesAllocateNothing(t *testing.T) {
	bow, places := twentyKnots()
	s, err := strung.New(bow, strung.ByBrace(6))
	check(t, err)
	check(t, s.SetPlaces(places))
	var sol strung.Solution
	var r strung.Readings
	var d strung.Derivatives
	i := 0
	round := func() {
		i++
		bow.Upper.Stiffness[5] = 40000 + 400*float64(i&1)
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
