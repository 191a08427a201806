package plan

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/floats"

	"bendbook/model/estimate"
)

// A search finds the losses still to take: nonlinear least squares with bounds, because wood can't be put
// back. By Gauss-Newton, each step solves the linearized problem with its bounds (Nocedal & Wright, Numerical
// Optimization, 2nd ed., section 10.3).
type search struct {
	trial     *estimate.Trial
	wanted    Wanted
	wear      float64 // log weight to leave for wear
	stretches []estimate.Stretch
	// tillerCounts says that the tiller of the bow as it is lies beyond its tolerance.
	tillerCounts bool
}

// way finds the losses, by stretch.
func (s *search) way() ([]float64, error) {
	at := make([]float64, len(s.stretches))
	now, err := s.trial.With(at)
	for range rounds {
		if err != nil {
			return nil, err
		}
		from := at
		at = s.step(from, now)
		if now, err = s.reach(from, at); err == nil && floats.Distance(from, at, math.Inf(1)) < settled {
			break
		}
	}
	return at, err
}

// reach tries losses. While they give no bow that can be drawn, it halves the step, in place.
func (s *search) reach(from, to []float64) (estimate.Tried, error) {
	tried, err := s.trial.With(to)
	for range halvings {
		if !errors.Is(err, estimate.ErrDraw) && !errors.Is(err, estimate.ErrUnsolved) {
			break
		}
		for j := range to {
			to[j] = (to[j] + from[j]) / 2
		}
		tried, err = s.trial.With(to)
	}
	return tried, err
}

// step solves the problem linearized at the present losses.
func (s *search) step(at []float64, now estimate.Tried) []float64 {
	q := newSquares(at)
	q.add(math.Log(now.Force/s.wanted.middle())-s.wear, now.ForceBy, weightSize)
	q.add(s.tillerOff(now.Tiller), now.TillerBy, math.Hypot(tillerSize, now.TillerError))
	for _, l := range now.Limbs {
		for i := range l.At {
			// A bend that is poorly known counts less, so that the cut there stays even.
			q.add(l.Deviation[i], l.By[i], math.Sqrt(placesAlike)*math.Hypot(bendSize, l.Error[i]))
		}
	}
	by := make([]float64, len(at))
	for j, stretch := range s.stretches {
		clear(by)
		by[j] = 1
		q.add(at[j], by, lossSize/math.Sqrt(stretch.To-stretch.From))
		if j > 0 && j+1 < len(at) && adjoin(s.stretches[j-1:j+2]) {
			by[j-1], by[j+1] = -0.5, -0.5
			q.add(at[j]-(at[j-1]+at[j+1])/2, by, unlikeSize*(stretch.To-stretch.From))
		}
	}
	return q.solve()
}

// tillerOff is how far a tiller is off: to the aim for a bow that is beyond the tolerance, else only by what
// lies beyond half of it (in).
func (s *search) tillerOff(tiller float64) float64 {
	off := tiller - s.wanted.Tiller
	if s.tillerCounts {
		return off
	}
	return off - min(max(off, -tillerOff/2), tillerOff/2)
}

// adjoin tells whether each stretch begins where the one before ends.
func adjoin(all []estimate.Stretch) bool {
	for i := 1; i < len(all); i++ {
		if !touch(all[i-1], all[i]) {
			return false
		}
	}
	return true
}

// touch says that two stretches have an end in common.
func touch(a, b estimate.Stretch) bool { return a.Side == b.Side && (a.To == b.From || b.To == a.From) }
