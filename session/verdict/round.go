package verdict

import (
	"math"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
)

// What the shop does by round figures is round in its own unit: 2 in, and 5 cm where it works in centimetres or millimetres.

func metric(bow model.Bow) bool { return bow.Units.Length != measure.Inch }

// either is a figure in inches, or the round one that stands for it where the shop does not work in inches.
func either(bow model.Bow, inches, centimetres float64) float64 {
	if metric(bow) {
		return float64(measure.Centimetre.Length(centimetres))
	}
	return inches
}

// pullStep is how far a pull may go beyond those before (common practice; in).
func pullStep(bow model.Bow) float64 { return either(bow, 2, 5) }

// tillerPlaces are where tiller is looked at (common practice; in).
func tillerPlaces(bow model.Bow) []float64 {
	return []float64{either(bow, 6, 15), either(bow, 8, 20), either(bow, 12, 30)}
}

// curveStep is from one draw of the force-draw curve to the next (in).
func curveStep(bow model.Bow) float64 { return either(bow, 1, 2.5) }

// roundStop is a stop line in round figures of the shop's unit: no farther than the estimate's, half a centimetre for its eighth of an
// inch, and 5 cm beyond the longest pull for its 2 in.
func (a *Advice) roundStop(stop estimate.Stop, limits estimate.Limits) estimate.Stop {
	if !metric(a.Bow) || stop.Draw <= 0 || stop.Because == estimate.ByOrder {
		return stop
	}
	draw, longest := stop.Draw, a.state.Longest()
	if far := longest + pullStep(a.Bow); stop.Because == estimate.ByStep && longest > 0 && far <= draw {
		draw = far
	} else {
		half := float64(measure.Centimetre.Length(0.5))
		draw = half * math.Floor(draw/half+1e-6)
	}
	limits.Draw = draw
	round, err := a.state.Stop(limits)
	if err != nil || math.Abs(round.Draw-draw) > alike {
		return stop // so short a pull that there is none at round figures
	}
	round.Because = stop.Because
	return round
}
