package session

import (
	"math"

	"bendbook/model"
	"bendbook/model/measure"
)

// bendApart is how far apart stations must lie to give a bend: nearer ones show the rule's error more.
const bendApart measure.Length = 3

// BendOf is the curvature that the draw put into each limb in a pose, in 1/in by finite differences of a
// pass's readings, less that of the relaxed bow where that was read up to that pass. The first index is the
// Side, the second the station. ok is false where the pass has no reading in the pose.
func (s Story) BendOf(pass int, pose Pose) (bend [2][]measure.Optional[float64], ok bool) {
	rows, ok := s.Passes[pass].Reading(pose)
	if !ok {
		return bend, false
	}
	relaxed, _, _ := s.Earlier(Pose{Kind: model.KindRelaxed, From: model.FromLine}, pass+1)
	for _, side := range model.Sides {
		stations := s.Bow().Limbs[side].Stations
		bend[side] = model.FiniteBend(pose.From, stations, rows[side], bendApart)
		if pose.Kind == model.KindRelaxed {
			continue
		}
		for i, rest := range model.FiniteBend(model.FromLine, stations, relaxed[side], bendApart) {
			drawn, known := bend[side][i].Get()
			if r, restKnown := rest.Get(); known && restKnown {
				bend[side][i] = measure.Some(drawn - r)
			}
		}
	}
	return bend, true
}

// BendError is the standard deviation of the bend of a limb at its stations, in 1/in, from errors of reading:
// 1/32 in of the hand (a usual error) and the rounding to the rule's step r, of variance r²/12.
func (s Story) BendError(side model.Side, pose Pose) []float64 {
	step := float64(s.Desc.Bow.Rule)
	if step <= 0 {
		step = float64(s.Desc.Bow.Units.Length.DefaultStep())
	}
	sd := math.Sqrt(1.0/32/32 + step*step/12)
	return model.BendError(pose.From, s.Bow().Limbs[side].Stations, bendApart, measure.Length(sd))
}
