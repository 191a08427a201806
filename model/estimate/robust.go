package estimate

import (
	"math"
	"slices"
)

// The stages of an update. Far from the answer all readings seem wild, so at first none is left out: weights
// fall as one over the distance, in units of the readings' own scatter (Huber). Near the answer they fall as
// its square, in standard deviations, so that a wild reading soon counts for nothing.
const (
	opening = iota
	middle
	closing
)

const (
	// huberBend is where weights start to fall in the opening (Huber, Robust Statistics, 1981: 1.5 to 2).
	huberBend = 2
	// closingBend is the same at the end; good readings seldom lie so far off.
	closingBend = 2.7
	// near is a step, squared, in standard deviations of the answer, after which the next stage begins.
	near = 4
)

type robust struct{ stage int }

// next is the stage after a step of the given squared length.
func (r *robust) next(length float64) {
	if r.stage < closing && (length < near || r.stage == middle) {
		r.stage++
	}
}

// weigh sets the weights of the readings.
func (f *fit) weigh(loss *robust) {
	offs := make([]float64, 0, len(f.m.rows))
	for _, r := range f.m.rows {
		if !r.out {
			offs = append(offs, math.Abs(r.value-r.predicted)/r.sd)
		}
	}
	scale := 1.0
	if loss.stage == opening && len(offs) > 0 {
		scale = max(1, 1.4826*median(offs))
	}
	for i, r := range f.m.rows {
		f.weight[i] = 0
		if r.out {
			continue
		}
		off := math.Abs(r.value-r.predicted) / r.sd / scale
		switch {
		case loss.stage != closing:
			f.weight[i] = min(1, huberBend/off)
		case off > closingBend:
			f.weight[i] = closingBend * closingBend / (off * off)
			if off > 2*closingBend {
				// Farther off a reading counts for next to nothing.
				f.weight[i] *= 4 * closingBend * closingBend / (off * off)
			}
		default:
			f.weight[i] = 1
		}
	}
}

func median(v []float64) float64 {
	v = slices.Clone(v)
	slices.Sort(v)
	n := len(v)
	if n == 0 {
		return 0
	}
	return (v[(n-1)/2] + v[n/2]) / 2
}
