package verdict

import (
	"math"
	"slices"

	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// Tiller is the upper limb's gap to the string less the lower's, braced, at one place (in).
type Tiller struct {
	At       float64
	Expected estimate.Figure
	// Measured is that of the last braced reading.
	Measured measure.Optional[measure.Length]
	// Aim is known at the aim's own place only.
	Aim measure.Optional[measure.Length]
}

// meantBy is how far from a usual place the aim's own may lie and stand for it (in).
const meantBy = 0.25

// aimPlace is where the aim of the tiller holds (in).
func (a *Advice) aimPlace() float64 { return float64(session.TillerAt(a.Bow)) }

func (a *Advice) tiller(story session.Story) {
	// The aim's place stands for the usual one that the maker means by it: 20.3 cm for 8 in.
	at := slices.DeleteFunc(tillerPlaces(a.Bow), func(s float64) bool { return math.Abs(s-a.aimPlace()) < meantBy })
	at = append(at, a.aimPlace())
	slices.Sort(at)
	shortest := float64(min(a.Bow.Limbs[0].Length, a.Bow.Limbs[1].Length))
	at = slices.DeleteFunc(at, func(s float64) bool { return !(s >= 0 && s <= shortest) })
	expected, err := a.state.Tiller(at...)
	if err != nil {
		return
	}
	measured, _ := story.TillerOf(a.Pass)
	for i, place := range at {
		t := Tiller{At: place, Expected: expected[i]}
		if place == a.aimPlace() {
			t.Aim = a.Bow.Aim.Tiller
		}
		for _, gap := range measured.Gaps {
			if session.SameStation(gap.At, measure.Length(place)) {
				t.Measured = measure.Some(gap.Difference)
			}
		}
		a.Tiller = append(a.Tiller, t)
	}
}
