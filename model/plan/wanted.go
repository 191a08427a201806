package plan

import (
	"fmt"
	"math"

	"bendbook/model/estimate"
)

// Wanted is what the bow should be.
type Wanted struct {
	// Draw is the ordered draw of the hook from the belly line (in), Weight the weight wanted there (lbf),
	// and Under and Over how far it may be off to still be right (lbf).
	Draw, Weight, Under, Over float64
	Aim                       estimate.Aim
	// Tiller is the braced gap of the upper limb less that of the lower at TillerAt from the roots (in).
	TillerAt, Tiller float64
}

// Least and Most are the edges of the weight wanted (lbf).
func (w Wanted) Least() float64 { return w.Weight - w.Under }
func (w Wanted) Most() float64  { return w.Weight + w.Over }

// middle is the weight that a plan makes for: the middle of what is right.
func (w Wanted) middle() float64 { return (w.Least() + w.Most()) / 2 }

func (w Wanted) check() error {
	sum := w.Draw + w.Weight + w.Under + w.Over + w.TillerAt + math.Abs(w.Tiller)
	if !(w.Draw > 0 && w.Weight > 0 && w.Under >= 0 && w.Over >= 0 && w.TillerAt >= 0 && sum < math.Inf(1)) {
		return fmt.Errorf("wanted %v at %v: %w", w.Weight, w.Draw, estimate.ErrInput)
	}
	return nil
}

// A Cut is wood to take off one stretch.
type Cut struct {
	estimate.Stretch
	// Loss is how far log stiffness is to fall; see [Cut.Stiffness].
	Loss float64
}

// Stiffness is the fraction of the stiffness that the cut takes off.
func (c Cut) Stiffness() float64 { return -math.Expm1(-c.Loss) }

// wear is the weight that a bow still loses as it takes set and is exercised.
type wear struct {
	// Mean and Error are of the logarithm of weight and its standard deviation.
	Mean, Error float64
}

// wear predicts what the bow loses by its first full draw. Where relaxed readings show its set so far, they
// correct the usual set.
func (w Wanted) wear(st estimate.State, t *estimate.Trial) (wear, error) {
	share := st.Bow().SetShare
	now := share(st.Longest())
	mean, spread := usualSet, usualSetError
	if _, set, known, err := st.Follow(); err == nil && known {
		if grown := now - share(st.SetSince()); grown > 0 {
			gain := spread * spread * grown / (spread*spread*grown*grown + sd(set)*sd(set))
			mean += gain * (set.Estimate - mean*grown)
			spread *= math.Sqrt(1 - gain*grown)
		}
	}
	tried, err := t.With(nil)
	if err != nil {
		return wear{}, err
	}
	// The forecast allows for some of it.
	left, allowed := 1-now, st.FirstSet()
	open := math.Hypot(spread, lawError*mean)
	open = math.Sqrt(max(open*open-sd(allowed)*sd(allowed), 0))
	return wear{
		Mean:  wearPass*left - tried.SetBy*(max(mean, 0)-allowed.Estimate)*left,
		Error: math.Hypot(wearPassError*left, tried.SetBy*open*left),
	}, nil
}
