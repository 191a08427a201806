package strung_test

import (
	"testing"

	"bendbook/model/strung"
)

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
