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
