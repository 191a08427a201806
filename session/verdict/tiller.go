package verdict

import (
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// meantBy is how far from a usual place the aim's own may lie and stand for it (in): 20.3 cm for 8 in.
const meantBy = 0.25

// aimPlace is where the aim of the tiller holds (in).
func (a *Advice) aimPlace() float64 { return float64(session.TillerAt(a.Bow)) }

func (a *Advice) tiller(story session.Story) {
	aim := a.aimPlace()
	at := []float64{either(a.Bow, 6, 15), either(a.Bow, 8, 20), either(a.Bow, 12, 30)} // common practice
	at = slices.DeleteFunc(at, func(s float64) bool { return math.Abs(s-aim) < meantBy })
	at = append(at, aim)
	slices.Sort(at)
	shortest := float64(shorter(a.Bow))
	at = slices.DeleteFunc(at, func(s float64) bool { return !(s >= 0 && s <= shortest) })
	expected, err := a.state.Tiller(at...)
	if err != nil {
		return
	}
	measured, _ := story.TillerOf(a.Pass)
	for i, place := range at {
		t := Tiller{At: place, Expected: expected[i]}
		if place == aim {
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

func shorter(bow model.Bow) measure.Length {
	return min(bow.Limbs[model.Upper].Length, bow.Limbs[model.Lower].Length)
}

// What the shop does by round figures is round in its own unit: 2 in, and 5 cm where it works in
// centimetres or millimetres.

func metric(bow model.Bow) bool { return bow.Units.Length != measure.Inch }

// either is a figure in inches, or the round one that stands for it where the shop does not work in inches.
func either(bow model.Bow, inches, centimetres float64) float64 {
	if metric(bow) {
		return float64(measure.Centimetre.Length(centimetres))
	}
	return inches
}
