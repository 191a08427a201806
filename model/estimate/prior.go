package estimate

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"bendbook/model"
	"bendbook/model/section"
	"bendbook/model/strung"
)

// Prior is the bow before any reading. The error wraps [ErrInput].
func (b Bow) Prior() (State, error) {
	if err := b.check(); err != nil {
		return State{}, err
	}
	f := newFrame(b)
	mean := make([]float64, f.len())
	cov := mat.NewSymDense(f.len(), nil)
	var sized [2]bool
	for _, s := range model.Sides {
		sized[s] = b.sizedPrior(f, s, mean)
	}
	_, modulusError := b.modulus()
	common := curve{level: modulusError}
	switch upper, lower := f.stiffnesses(model.Upper, mean), f.stiffnesses(model.Lower, mean); {
	case !sized[model.Upper] && !sized[model.Lower]:
		common = commonStiffness()
		scale, err := b.usualScale(f, mean)
		if err != nil {
			return State{}, err
		}
		floats.AddConst(scale, upper)
		floats.AddConst(scale, lower)
	case !sized[model.Upper]:
		copy(upper, lower)
	case !sized[model.Lower]:
		copy(lower, upper)
	}
	for _, s := range model.Sides {
		own := limbStiffness()
		if sized[s] {
			own = sizedStiffness()
		}
		addCurve(cov, f.stiffness(s), f.knots[s], own)
		addCurve(cov, f.rest(s), f.knots[s], limbRest())
	}
	for i := range 2 * knotsPerLimb {
		for j := i; j < 2*knotsPerLimb; j++ {
			p, q := i%knotsPerLimb, j%knotsPerLimb
			addTo(cov, f.stiffness(model.Side(i/knotsPerLimb))+p, f.stiffness(model.Side(j/knotsPerLimb))+q,
				common.trend(float64(p)/(knotsPerLimb-1), float64(q)/(knotsPerLimb-1)))
		}
	}
	mean[f.brace()] = b.usualBrace()
	cov.SetSym(f.brace(), f.brace(), braceError*braceError)
	g, ok := from(mean, cov)
	if !ok {
		return State{}, fmt.Errorf("prior is not positive: %w", ErrInput)
	}
	return State{bow: b, frame: f, g: g, unread: g, set: usualSet(), fit: Fit{Good: true, Ratio: 1}}, nil
}

// sizedPrior sets the mean log stiffness of a limb from its widths and depths, linear between the places
// where they were measured and level beyond them; false where there are none.
func (b Bow) sizedPrior(f frame, s model.Side, mean []float64) bool {
	modulus, _ := b.modulus()
	var at, value []float64
	for _, size := range b.Limbs[s].Sizes {
		if sec, ok := section.New(b.Section, size.Width, size.Depth); ok {
			at = append(at, size.At)
			value = append(value, math.Log(modulus*sec.SecondMoment()))
		}
	}
	if len(at) < 2 {
		return false
	}
	for i, knot := range f.knots[s] {
		k, share := locate(at, knot)
		mean[f.stiffness(s)+i] = (1-share)*value[k] + share*value[k+1]
	}
	return true
}

// modulus is the wood's (psi), or the usual one, and its error as a fraction.
func (b Bow) modulus() (psi, share float64) {
	if !(b.Modulus > 0) {
		return usualModulus, usualModulusError
	}
	return b.Modulus, woodError
}

// usualScale sets the log stiffness of usual limbs over that of their roots, and gives the logarithm by which
// it must rise for the bow to weigh what a stave for this order does: the force is proportional to the
// stiffness.
func (b Bow) usualScale(f frame, mean []float64) (float64, error) {
	for _, s := range model.Sides {
		for i := range knotsPerLimb {
			// It falls linearly to a tenth.
			mean[f.stiffness(s)+i] = math.Log(0.1 + 0.9*(1-float64(i)/(knotsPerLimb-1)))
		}
	}
	weight := b.Weight * usualHeavy
	if !(weight > 0) {
		weight = usualWeight
	}
	var t tree
	var sol strung.Solution
	err := t.set(f.strung(b, mean), strung.ByBrace(b.usualBrace()))
	if err == nil {
		err = t.solver.Draw(min(b.orderedDraw(), 0.45*b.length()), &sol)
	}
	if err != nil {
		return 0, fmt.Errorf("%w: %w", ErrInput, err)
	}
	return math.Log(weight / sol.Force), nil
}
