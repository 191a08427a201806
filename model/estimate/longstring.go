package estimate

import "math"

// A long string whose length nobody typed is an inch or two longer than the bow (common practice), but never
// so long that it would have been slack at a pull. As a share of that its excess is logit-normal, so that it
// stays between the two whatever the readings say.
const (
	usualExcess   = 1.5 // in, in the median
	mostShare     = 0.6 // of the most that it may be, in the median
	unknownSpread = 1.2 // of the logit (1 sd): with the most at 3 in, about half an inch to 2 1/2
)

// mostReflex is how far from the line the nocks of an unstrung bow may lie on the back's side (in).
const mostReflex = 1.0

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

// length is that of a long string by its value (in).
func (h *hangModel) length(b Bow, value float64) float64 {
	if h.longest == 0 {
		return value
	}
	return b.length() + h.longest/(1+math.Exp(-value))
}

// byValue is the derivative of what a string is given by, its length or brace height, by its value.
func (h *hangModel) byValue(value float64) float64 {
	if h.longest == 0 {
		return 1
	}
	share := 1 / (1 + math.Exp(-value))
	return h.longest * share * (1 - share)
}
