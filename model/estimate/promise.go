package estimate

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"bendbook/model/strung"
)

// Promise is what the scale should show at a draw (in) of the next pull, and the standard deviation of that
// (lbf), with the scale's own error. The error wraps [ErrUnsolved] or [ErrDraw].
func (st State) Promise(draw float64) (force, sd float64, err error) {
	st.wide = 1
	p, err := st.probe(0, strung.Places{})
	if err == nil {
		err = p.draw(draw)
	}
	if err != nil {
		return 0, 0, err
	}
	shown := p.shown(draw)
	sds := []float64{shown.sd(), st.bow.peakError(shown.Estimate, draw, true)}
	if st.shared == nil {
		// Nothing tells yet how this pass's pulls are read.
		byDraw := p.slopes.Force[p.slopes.Columns.Draw]
		sds = append(sds, byDraw*drawOffset, byDraw*supportGive*shown.Estimate, direction*shown.Estimate)
	}
	return shown.Estimate, floats.Norm(sds, 2), nil
}

// Widening is by how much ranges must be wider to hold the truth as often as they say, from how far off
// promises were, in their own standard deviations: the quantile of split conformal prediction (Vovk et al.,
// Algorithmic Learning in a Random World, 2005, from memory) over the bands' own, drawn to 1 where they are
// few. They are narrower only where more held than chance would make of bands that are right.
func Widening(off []float64) float64 {
	n := len(off)
	if n < fewPromises {
		return 1
	}
	in, sizes := 0.0, make([]float64, n)
	for i, z := range off {
		if sizes[i] = math.Abs(z); sizes[i] <= BandWidth {
			in++
		}
	}
	if over := in - held*float64(n); over >= 0 && over <= BandWidth*math.Sqrt(held*(1-held)*float64(n)) {
		return 1
	}
	slices.Sort(sizes)
	least := min(int(math.Ceil(held*float64(n+1))), n)
	wide := math.Pow(sizes[least-1]/BandWidth, float64(n)/float64(n+fewPromises))
	return math.Round(min(max(wide, leastWide), mostWide)*wideSteps) / wideSteps
}

// Widened is the state with ranges of weights so much wider; those of the stop line are never narrower.
func (st State) Widened(by float64) State {
	st.wide = cmp.Or(by, 1)
	return st
}
