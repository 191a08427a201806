package session

import (
	"bendbook/model"
	"bendbook/model/measure"
)

// Bend is the curvature that the draw put into each limb, in 1/in, roughly, by finite differences of the readings.
// The first index is the Side, the second the station.
type Bend [2][]measure.Optional[float64]

// BendOf is the bend in a pose as read in a pass: curvature less that of the relaxed bow, where a relaxed reading up to
// that pass has it. ok is false where the pass has no reading in the pose.
func (s Story) BendOf(pass int, pose Pose) (bend Bend, ok bool) {
	rows, ok := s.Passes[pass].Reading(pose)
	if !ok {
		return Bend{}, false
	}
	relaxed, _, _ := s.Earlier(Pose{Kind: model.KindRelaxed, From: model.FromLine}, pass+1)
	for _, side := range model.Sides {
		stations := s.Bow().Limbs[side].Stations
		bend[side] = model.FiniteBend(pose.From, stations, rows[side])
		if pose.Kind == model.KindRelaxed {
			continue
		}
		for i, rest := range model.FiniteBend(model.FromLine, stations, relaxed[side]) {
			drawn, known := bend[side][i].Get()
			if r, restKnown := rest.Get(); known && restKnown {
				bend[side][i] = measure.Some(drawn - r)
			}
		}
	}
	return bend, true
}
