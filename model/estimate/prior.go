package estimate

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"bendbook/model"
	"bendbook/model/section"
	"bendbook/model/strung"
)

// What a stave is like before it is read. The figures are this project's own, from what staves may be: the
// scale is wide; stiffness falls towards the nock by a power of 0.7 to 1.3 or so of what is left of the limb,
// to a sixteenth to a fifth of the root's, and its middle is free besides; a limb is rough by 5 to 15 %, 10 %
// in the mean square, and alike over 2 to 5 in, which makes second differences of log stiffness of about 0.10
// or more at the knots. A narrower prior would also hold its bands where only gaps and peaks are read, but
// keep well-read limbs from their true roughness.

// commonStiffness is what both limbs of a stave share, limbStiffness what each has of its own. Where only
// gaps and peaks are read, the bands of bend are these.
func commonStiffness() curve {
	return curve{level: 0.8, slope: 0.3, bow: 0.1, tip: 0.3}
}

func limbStiffness() curve {
	return curve{level: 0.2, slope: 0.16, bow: 0.06, tip: 0.15, rough: 0.098, reach: 3.5, fine: 0.02}
}

// limbRest is rest bend (1/in): 0.001 of it on a limb of 34 in is 0.6 in of string follow. Set and reflex
// bend a limb most in its middle: the bow alone makes half an inch of it.
func limbRest() curve {
	return curve{level: 0.0016, slope: 0.0016, bow: 0.0012, rough: 0.0008, reach: 6}
}

// sizedStiffness is what widths and depths leave open beside the modulus: wood that varies along the limb,
// and calipers that read to a hundredth or two.
func sizedStiffness() curve {
	return curve{level: 0.03, slope: 0.06, bow: 0.04, tip: 0.1, rough: 0.06, reach: 5, fine: 0.05}
}

const (
	// usualHeavy is how much a stave that comes to the tree is stronger than the bow that is to come of it.
	usualHeavy = 1.3
	// usualModulus (psi) and its error serve where the wood's is not known: most bow woods lie between 1.3
	// and 2.2 million (Wood Handbook, USDA Forest Products Laboratory, chapter 5).
	usualModulus      = 1.7e6
	usualModulusError = 0.25
	// leastDraw is the least ordered draw, over the brace, that says anything of a stave's strength.
	leastDraw = 1.5
	// braceError is the standard deviation of a brace height that nobody read (in).
	braceError = 0.8
)

// Prior is the bow before any reading. The error wraps [ErrInput].
func (b Bow) Prior() (State, error) {
	if err := b.check(); err != nil {
		return State{}, err
	}
	f := newFrame(b)
	mean := make([]float64, f.len())
	cov := mat.NewSymDense(f.len(), nil)
	sized := [2]bool{}
	for _, s := range model.Sides {
		sized[s] = b.sizedPrior(f, s, mean)
	}
	for _, s := range model.Sides {
		if !sized[s] {
			if sized[s.Other()] {
				other := mean[f.stiffness(s.Other()):]
				copy(mean[f.stiffness(s):f.stiffness(s)+knotsPerLimb], other[:knotsPerLimb])
			} else {
				taper(mean[f.stiffness(s) : f.stiffness(s)+knotsPerLimb])
			}
		}
	}
	if !sized[0] && !sized[1] {
		scale, err := b.usualScale(f, mean)
		if err != nil {
			return State{}, err
		}
		for _, s := range model.Sides {
			for i := range knotsPerLimb {
				mean[f.stiffness(s)+i] += scale
			}
		}
	}
	b.spreadStiffness(f, sized, cov)
	for _, s := range model.Sides {
		addCurve(cov, f.rest(s), f.knots[s], limbRest())
	}
	mean[f.brace()] = b.UsualBrace()
	cov.SetSym(f.brace(), f.brace(), braceError*braceError)
	g, ok := from(mean, cov)
	if !ok {
		return State{}, fmt.Errorf("prior is not positive: %w", ErrInput)
	}
	return State{bow: b, frame: f, g: g, unread: g}, nil
}

// taper is the logarithm of a usual limb's stiffness over that of its root: it falls linearly to a tenth.
func taper(into []float64) {
	for i := range into {
		u := float64(i) / (knotsPerLimb - 1)
		into[i] = math.Log(0.1 + 0.9*(1-u))
	}
}

// spreadStiffness fills in the covariance of log stiffness.
func (b Bow) spreadStiffness(f frame, sized [2]bool, cov *mat.SymDense) {
	modulus := curve{level: b.modulusError()}
	for _, s := range model.Sides {
		own := limbStiffness()
		if sized[s] {
			own = sizedStiffness()
		}
		addCurve(cov, f.stiffness(s), f.knots[s], own)
	}
	common := commonStiffness()
	if sized[0] || sized[1] {
		common = modulus
	}
	n := knotsPerLimb
	for _, s := range model.Sides {
		for _, t := range model.Sides {
			for i := range n {
				for j := range n {
					p, q := f.stiffness(s)+i, f.stiffness(t)+j
					if p <= q {
						u, v := float64(i)/float64(n-1), float64(j)/float64(n-1)
						addTo(cov, p, q, common.trend(u, v))
					}
				}
			}
		}
	}
}

// addCurve adds a curve's covariance at a limb's knots to that of the values from first on.
func addCurve(cov *mat.SymDense, first int, knots []float64, c curve) {
	length := knots[len(knots)-1]
	for i, s := range knots {
		for j, t := range knots[i:] {
			addTo(cov, first+i, first+i+j, c.at(s, t, length))
		}
	}
}

// sizedPrior sets the mean log stiffness of a limb from its widths and depths, linear between the places
// where they were measured and level beyond them; false where there are none.
func (b Bow) sizedPrior(f frame, s model.Side, mean []float64) bool {
	var at, value []float64
	for _, size := range b.Limbs[s].Sizes {
		sec, err := section.New(b.Section, size.Width, size.Depth)
		if err != nil {
			continue
		}
		at = append(at, size.At)
		value = append(value, math.Log(b.modulus()*sec.SecondMoment()))
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

func (b Bow) modulus() float64 {
	if b.Modulus > 0 {
		return b.Modulus
	}
	return usualModulus
}

func (b Bow) modulusError() float64 {
	switch {
	case !(b.Modulus > 0):
		return usualModulusError
	case b.ModulusError > 0:
		return b.ModulusError
	default:
		return 0.15
	}
}

// usualScale is the logarithm by which the given log stiffness must rise for the bow to weigh what a stave
// for this order does: the force is proportional to the stiffness.
func (b Bow) usualScale(f frame, x []float64) (float64, error) {
	draw, weight := b.Draw, b.Weight*usualHeavy
	if !(draw > leastDraw*b.UsualBrace()) {
		draw = b.UsualDraw()
	}
	if !(weight > 0) {
		weight = 55
	}
	draw = min(draw, 0.45*b.length())
	var bow strung.Bow
	f.strung(b, x, &bow)
	options := []strung.Option{strung.Segments(segments), strung.Patience(patience)}
	solver, err := strung.New(bow, strung.ByBrace(b.UsualBrace()), options...)
	if err != nil {
		return 0, fmt.Errorf("%w: %w", ErrInput, err)
	}
	var sol strung.Solution
	if err := solver.Draw(draw, &sol); err != nil {
		return 0, fmt.Errorf("%w: %w", ErrInput, err)
	}
	return math.Log(weight / sol.Force), nil
}

// segments is the number of segments to a limb: one between each two knots, where the error of the fourth
// order scheme stays far below that of any reading.
const segments = knotsPerLimb - 1

// expBounded is the exponential, kept within what a strung bow takes.
func expBounded(v float64) float64 { return math.Exp(min(max(v, -5), 25)) }
