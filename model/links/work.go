package links

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"

	"bendbook/model"
)

// A Cut is wood off one stretch of a limb: log stiffness falls by Loss between two places (in).
type Cut struct {
	Side     model.Side
	From, To float64
	Loss     float64
}

// fade is how wide a scraping fades at its ends (in).
const fade = 1.0

// Work scrapes a bow, off what is meant by a random share along each limb (1 sd). The string stays the same,
// and the brace height gives way. The error says that it can't be braced any more.
func (b *Bow) Work(r *rand.Rand, cuts []Cut, off float64) error {
	c := b.Chain(1, 0)
	if err := c.Brace(b.Brace); err != nil {
		return err
	}
	for s := range b.Limbs {
		l := &b.Limbs[s]
		uneven := bumps(r, l.Length)
		for i := range l.Spring {
			at, loss := l.Place(i), 0.0
			for _, cut := range cuts {
				if cut.Side == model.Side(s) {
					loss += cut.Loss * min(max(min(at-cut.From, cut.To-at)/fade+0.5, 0), 1)
				}
			}
			l.Spring[i] *= math.Exp(-loss * max(1+off*uneven(at), 0))
		}
		copy(c.Limbs[s].Spring, l.Spring)
	}
	err := c.Settle(func(v *[values]float64) (r [2]float64, by [2][values]float64) {
		r[0], by[0] = noForce(v)
		r[1], by[1][HalfLength] = v[HalfLength]-c.Half, 1
		return r, by
	})
	b.Brace = c.Pose.At[hookY] - c.Pose.At[HookX]*math.Tan(c.Pose.At[angle])
	return err
}

// Uneven is the standard deviation of a limb's bend over its mean from a tenth to eight tenths of it, at the
// ordered draw. The full compass is even there.
func (b *Bow) Uneven(side model.Side) float64 {
	c := b.Strung(b.Draw)
	var bend []float64
	for at := 0.1; at <= 0.8; at += 0.01 {
		bend = append(bend, c.Bend(side, at*c.Limbs[side].Length))
	}
	mean, sd := stat.PopMeanStdDev(bend, nil)
	return sd / mean
}

// Tiller is the gap to the string of the upper limb less that of the lower at a place, braced.
func (b *Bow) Tiller(at float64) float64 {
	return b.gap(model.Upper, at) - b.gap(model.Lower, at)
}

// gap is a limb's distance to the string, square to the string.
func (b *Bow) gap(side model.Side, at float64) float64 {
	c := b.Chain(1, 0)
	if c.Brace(b.Brace) != nil {
		return math.NaN()
	}
	l, v := &c.Limbs[side], &c.Pose.At
	x, y := l.Point(c.Pose.Slope[side], at)
	nockX, nockY := l.Point(c.Pose.Slope[side], l.Length)
	sin, cos := math.Sincos(v[2*int(side)+angle])
	return math.Abs((x-nockX)*sin - (y-nockY)*cos)
}
