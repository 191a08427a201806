package estimate

import "math"

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
