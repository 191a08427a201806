package estimate

import (
	"bendbook/model"
	"bendbook/model/strung"
)

// knotsPerLimb is the number of knots of a limb, evenly spread from root to nock.
const knotsPerLimb = 16

// A frame is the order of the values that are estimated: for the upper limb and then the lower the logarithm
// of stiffness at its knots and the rest bend at its knots, and last the brace height of the string. It is
// that of [strung.Columns].
type frame struct {
	knots [2][]float64 // by Side, from root to nock (in)
}

func newFrame(b Bow) frame {
	var f frame
	for side := range f.knots {
		length := b.Limbs[side].Length
		f.knots[side] = make([]float64, knotsPerLimb)
		for i := range f.knots[side] {
			f.knots[side][i] = length * float64(i) / (knotsPerLimb - 1)
		}
		f.knots[side][knotsPerLimb-1] = length
	}
	return f
}

// stiffness and rest are the places of a limb's first values among all.
func (f frame) stiffness(s model.Side) int { return 2 * knotsPerLimb * int(s) }
func (f frame) rest(s model.Side) int      { return 2*knotsPerLimb*int(s) + knotsPerLimb }

// brace is the place of the brace height, len the number of values.
func (f frame) brace() int { return 4 * knotsPerLimb }
func (f frame) len() int   { return 4*knotsPerLimb + 1 }

// strung makes the strung bow of the values.
func (f frame) strung(b Bow, x []float64, into *strung.Bow) {
	into.Handle, into.Between = b.Handle, strung.LogLinear
	f.limb(model.Upper, b.Limbs[model.Upper].Length, x, &into.Upper)
	f.limb(model.Lower, b.Limbs[model.Lower].Length, x, &into.Lower)
}

// limb makes a limb of the values.
func (f frame) limb(s model.Side, length float64, x []float64, into *strung.Limb) {
	into.Length, into.At = length, f.knots[s]
	into.Stiffness = append(into.Stiffness[:0], x[f.stiffness(s):f.stiffness(s)+knotsPerLimb]...)
	for i, v := range into.Stiffness {
		into.Stiffness[i] = expBounded(v)
	}
	into.RestBend = append(into.RestBend[:0], x[f.rest(s):f.rest(s)+knotsPerLimb]...)
}
