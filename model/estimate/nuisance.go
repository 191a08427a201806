package estimate

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// A shared is the indexes of the values that the pulls of a pass share.
type shared struct{ support, offset, direction, drift int }

// share adds those values.
func (m *predictor) share() {
	give := supportGive
	if m.bow.LineMoves {
		give = 0
	}
	m.shared = &shared{
		support: m.extra(0, give), offset: m.extra(0, drawOffset),
		direction: m.extra(0, direction), drift: m.extra(0, passDrift),
	}
}

// peakError is the standard deviation of a peak about the force of the bow at its draw: of the scale, and of
// the way that it was come to. Where nothing else was read at that draw, the draw's own error counts here;
// the force rises about evenly from the brace on.
func (b Bow) peakError(peak, draw float64, alone bool) float64 {
	if alone {
		return math.Hypot(b.Errors.Peak, b.PullError(peak, draw))
	}
	return math.Hypot(b.Errors.Peak, ownWay*peak)
}

// PullError is the part of a peak's standard deviation (lbf) that is not the scale's: of the way in which the
// draw was come to, and of the draw itself.
func (b Bow) PullError(peak, draw float64) float64 {
	return math.Hypot(ownWay*peak, drawOwn*peak/max(draw-b.usualBrace(), 1))
}

// shift takes what is predicted of the drawn bow from the draw as typed to the hook's true draw, and from the
// bow to the wall that it is read from. by is the derivative in the order of strung's columns.
func (m *predictor) shift(h *hangModel, g *group, r *row, x, by []float64) {
	if m.shared == nil || g.draw == 0 || r.where.Kind == Relaxed {
		return
	}
	force, byDraw, core := g.sol.Force, by[m.slopes.Columns.Draw], m.frame.brace()
	support := x[m.shared.support]
	// A support that sinks takes the hook's draw less, and the belly farther from the wall.
	sunk, off := -byDraw, x[m.shared.offset]
	if r.where.Kind == Line {
		sunk++
	}
	r.slope[m.shared.offset] = byDraw
	if g.own != none {
		off += x[g.own]
		r.slope[g.own] = byDraw
	}
	r.predicted += byDraw*off + sunk*support*force
	r.slope[m.shared.support] = sunk * force
	floats.AddScaled(r.slope[:core], sunk*support, m.slopes.Force[:core])
	r.slope[h.value] += sunk * support * m.slopes.Force[core] * h.by
	if r.where.Kind != Peak {
		return
	}
	// Direction and drift are shares of the force.
	change := x[m.shared.direction] + g.lag*x[m.shared.drift]
	floats.Scale(1+change, r.slope)
	r.slope[m.shared.direction], r.slope[m.shared.drift] = r.predicted, g.lag*r.predicted
	r.predicted *= 1 + change
}

// mostExcess is how much longer than the bow a string may be (in) to be taut at the shortest pull that the
// scale showed something of.
func (b Bow) mostExcess(pulls []Pull) float64 {
	shortest := b.UsualDraw()
	for _, pull := range pulls {
		if pull.Peak > 0 {
			shortest = min(shortest, pull.Draw)
		}
	}
	return 2*math.Hypot(b.length()/2, shortest+mostReflex) - b.length()
}

// unknownExcess is the median of the logit, given the most.
func unknownExcess(most float64) float64 {
	share := min(usualExcess/most, mostShare)
	return math.Log(share / (1 - share))
}

// given is what a string is given by, its length or brace height (in), by its value. It keeps the derivative.
func (h *hangModel) given(b Bow, value float64) float64 {
	h.by = 1
	if h.longest == 0 {
		return value
	}
	share := 1 / (1 + math.Exp(-value))
	h.by = h.longest * share * (1 - share)
	return b.length() + h.longest*share
}
