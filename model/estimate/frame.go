package estimate

import (
	"math"

	"bendbook/model"
	"bendbook/model/strung"
)

// A frame is the order of the values that are estimated, that of [strung.Columns]: for the upper limb and
// then the lower the logarithm of stiffness and the rest bend at its knots, and last the string's brace
// height.
type frame struct {
	knots [2][]float64 // from root to nock (in)
}

func newFrame(b Bow) (f frame) {
	for side, limb := range b.Limbs {
		for i := range knotsPerLimb - 1 {
			f.knots[side] = append(f.knots[side], limb.Length*float64(i)/(knotsPerLimb-1))
		}
		f.knots[side] = append(f.knots[side], limb.Length)
	}
	return f
}

// stiffness and rest are the indexes of a limb's first values among all, brace that of the brace height.
func (f frame) stiffness(s model.Side) int { return 2 * knotsPerLimb * int(s) }
func (f frame) rest(s model.Side) int      { return f.stiffness(s) + knotsPerLimb }
func (f frame) brace() int                 { return 4 * knotsPerLimb }

// len is the number of values.
func (f frame) len() int { return f.brace() + 1 }

// stiffnesses and rests are a limb's part of all values, or of a derivative by them.
func (f frame) stiffnesses(s model.Side, x []float64) []float64 {
	return x[f.stiffness(s):][:knotsPerLimb]
}
func (f frame) rests(s model.Side, x []float64) []float64 { return x[f.rest(s):][:knotsPerLimb] }

// strung is the strung bow of the values.
func (f frame) strung(b Bow, x []float64) strung.Bow {
	limb := func(s model.Side) strung.Limb {
		l := strung.Limb{Length: b.Limbs[s].Length, At: f.knots[s], RestBend: f.rests(s, x)}
		for _, v := range f.stiffnesses(s, x) {
			// Within what a strung bow takes.
			l.Stiffness = append(l.Stiffness, math.Exp(min(max(v, -5), 25)))
		}
		return l
	}
	return strung.Bow{Handle: b.Handle, Hook: b.Hook, Between: strung.LogLinear, Upper: limb(model.Upper),
		Lower: limb(model.Lower)}
}

// bySet is the derivative by an inch of set of what has these derivatives by the values: a curvature of 2/L²
// all along a limb takes its nock an inch off the line.
func (f frame) bySet(by []float64) float64 {
	sum := 0.0
	for side, knots := range f.knots {
		length := knots[knotsPerLimb-1]
		for _, d := range f.rests(model.Side(side), by) {
			sum += d * 2 / (length * length)
		}
	}
	return sum
}

// giving is how the brace height changes by an inch of set while the string stays the same, given the
// derivatives of the braced bow.
func (f frame) giving(d strung.Derivatives) float64 {
	return -f.bySet(d.StringLength) / d.StringLength[f.brace()]
}
