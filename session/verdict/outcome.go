package verdict

import (
	"errors"
	"fmt"
	"math"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/plan"
)

// Outcome is what the bow is, or would be with some wood off. Bands are 90 %.
type Outcome struct {
	plan.Outcome
	// Limbs are how both limbs bend at places an inch or so apart, by Side.
	Limbs [2]estimate.Bending
	// Uneven is how unevenly they bend: the standard deviation of bend over the aim along the middle of the limb, over its mean.
	Uneven [2]estimate.Figure
}

// MostStiffness is the most of the stiffness that can be tried to come off a stretch at once, as a fraction.
const MostStiffness = 0.5

// ErrCut is for a cut that nobody makes: it adds wood, or takes more than [MostStiffness].
var ErrCut = errors.New("expected 0 to 50 % of the stiffness")

// CutOf is the cut of a fraction of the stiffness off a stretch.
func CutOf(s estimate.Stretch, stiffness float64) (plan.Cut, error) {
	if !(stiffness >= 0 && stiffness <= MostStiffness) {
		return plan.Cut{}, ErrCut
	}
	return plan.Cut{Stretch: s, Loss: -math.Log1p(-stiffness)}, nil
}

// Try is what the bow would be with cuts of any plan; with none, what it is. It reads nothing that changes and may run beside everything else.
func (p Plan) Try(cuts []plan.Cut) (Outcome, error) {
	with, err := p.With(p.state, cuts)
	if err != nil {
		return Outcome{}, fmt.Errorf("trying the bow with wood off: %w", err)
	}
	o := Outcome{Outcome: with}
	var at [2][]float64
	for _, side := range model.Sides {
		length := p.state.Bow().Limbs[side].Length
		n := math.Floor(length)
		for i := range int(n) {
			at[side] = append(at[side], (float64(i)+0.5)*length/n)
		}
	}
	if o.Limbs, err = o.State.Bending(p.Wanted.Draw, p.Wanted.Aim, at); err != nil {
		return Outcome{}, fmt.Errorf("bending the bow with wood off: %w", err)
	}
	if o.Uneven, err = o.State.Unevenness(p.Wanted.Draw, p.Wanted.Aim); err != nil {
		return Outcome{}, fmt.Errorf("bending the bow with wood off: %w", err)
	}
	return o, nil
}
