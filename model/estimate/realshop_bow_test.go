package estimate_test

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"

	"bendbook/model"
	"bendbook/model/aim"
)

// linksPerLimb are those of the real shop's bows: a link of about a quarter inch.
const linksPerLimb = 128

// A shopBow is a bow of the real shop: limbs of D section, tapered and rough, crooked and unequal.
type shopBow struct {
	handle       float64
	limbs        [2]links
	brace        float64
	draw, weight float64 // ordered
}

// evenly is a number between two others.
func evenly(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }

// inertia is the second moment of a D section with a flat back: a rectangle under half an ellipse (in⁴).
func inertia(width, depth float64) float64 {
	a, b := 0.45*depth, 0.55*depth
	flat, round := width*a, math.Pi/4*width*b
	yFlat, yRound := a/2, a+4*b/(3*math.Pi)
	middle := (flat*yFlat + round*yRound) / (flat + round)
	own := width*a*a*a/12 + (math.Pi/8-8/(9*math.Pi))*width/2*b*b*b
	return own + flat*(yFlat-middle)*(yFlat-middle) + round*(yRound-middle)*(yRound-middle)
}

// bumps is a random course along a limb of about unit variance: swellings of some inches' width at any place.
func bumps(r *rand.Rand, length float64) func(at float64) float64 {
	n := int(length / 1.5)
	middle, width, size := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range n {
		middle[i], width[i], size[i] = evenly(r, -3, length+3), evenly(r, 1.2, 3.5), r.NormFloat64()
	}
	return func(at float64) (sum float64) {
		squares := 0.0
		for i := range n {
			x := (at - middle[i]) / width[i]
			w := math.Exp(-x * x / 2)
			sum += w * size[i]
			squares += w * w
		}
		return sum / math.Sqrt(max(squares, 0.5))
	}
}

// newShopBow makes a bow whose stiffness is rough by a share (1 sd of its logarithm), and which is up to a
// third heavier than ordered.
func newShopBow(r *rand.Rand, rough float64) *shopBow {
	length := evenly(r, 30, 36)
	b := &shopBow{handle: evenly(r, 3, 5), brace: evenly(r, 5.5, 6.75)}
	width, depth := evenly(r, 1.1, 1.5), evenly(r, 0.9, 1.2)
	narrow, thin := evenly(r, 0.35, 0.5), evenly(r, 0.55, 0.75)
	power := evenly(r, 1, 2)
	for s := range b.limbs {
		l := &b.limbs[s]
		*l = links{length: length - float64(s)*evenly(r, 0, 1.25), spring: make([]float64, linksPerLimb),
			rest: make([]float64, linksPerLimb)}
		own := math.Exp(0.1 * r.NormFloat64())
		course, crooked := bumps(r, l.length), bumps(r, l.length)
		even, rest := 0.0005+0.0008*r.NormFloat64(), evenly(r, 0.0002, 0.001)
		for i := range l.spring {
			u := l.place(i) / l.length
			w := width * (1 - (1-narrow)*math.Pow(u, power))
			d := depth * (1 - (1-thin)*u)
			l.spring[i] = own * inertia(w, d) * math.Exp(rough*course(l.place(i)))
			l.rest[i] = even + rest*crooked(l.place(i))
		}
	}
	whole := b.handle + b.limbs[0].length + b.limbs[1].length
	b.draw = math.Round(2*whole*evenly(r, 0.37, 0.395)) / 2
	b.weight = math.Round(evenly(r, 30, 65))
	b.scale(b.weight * evenly(r, 1.1, 1.35))
	return b
}

// newEvenBow makes a bow that bends by the full compass at its draw, but for a roughness of 2%.
func newEvenBow(r *rand.Rand) *shopBow {
	b := newShopBow(r, 0)
	heavy := b.force(b.draw)
	var compass aim.Aim
	for range 12 {
		c := b.strung(b.draw)
		for s := range b.limbs {
			l := &b.limbs[s]
			scale := c.bend(model.Side(s), 0.3*l.length)
			for i := range l.spring {
				l.spring[i] *= l.bend(c.pose.slope[s], i) / (scale * compass.Bend(l.place(i)/l.length))
			}
		}
	}
	for s := range b.limbs {
		l := &b.limbs[s]
		course := bumps(r, l.length)
		for i := range l.spring {
			l.spring[i] *= math.Exp(0.02 * course(l.place(i)))
		}
	}
	b.scale(heavy)
	return b
}

// fault makes a limb stiffer or weaker by a factor between two places.
func (b *shopBow) fault(side model.Side, from, to, factor float64) {
	l := &b.limbs[side]
	for i := range l.spring {
		// A spring that the edge of the fault crosses is softened by its share of it.
		low, high := l.place(i)-l.part(i)/2, l.place(i)+l.part(i)/2
		share := max(min(high, to)-max(low, from), 0) / l.part(i)
		l.spring[i] /= 1 - share + share/factor
	}
}

// clone is another bow like it.
func (b *shopBow) clone() *shopBow {
	other := *b
	for s := range other.limbs {
		l := &other.limbs[s]
		l.spring, l.rest = slices.Clone(l.spring), slices.Clone(l.rest)
	}
	return &other
}

// scale makes the whole bow weigh something at its draw.
func (b *shopBow) scale(weight float64) {
	for range 2 {
		f := weight / b.force(b.draw)
		for s := range b.limbs {
			for i := range b.limbs[s].spring {
				b.limbs[s].spring[i] *= f
			}
		}
	}
}

// chain is the bow with its stiffness times a factor, and with a set at its nocks (in) spread evenly over its
// limbs.
func (b *shopBow) chain(factor, set float64) *chain {
	c := &chain{handle: b.handle}
	for s, l := range b.limbs {
		own := links{length: l.length, spring: slices.Clone(l.spring), rest: slices.Clone(l.rest)}
		floats.Scale(factor, own.spring)
		floats.AddConst(2*set/(l.length*l.length), own.rest)
		c.limbs[s] = own
	}
	return c
}

// strung is the bow braced and drawn; one that can't be gives NaN for all figures.
func (b *shopBow) strung(draw float64) *chain {
	c := b.chain(1, 0)
	err := c.brace(b.brace)
	if err == nil {
		err = c.draw(draw)
	}
	if err != nil {
		c.pose.at[tension] = math.NaN()
	}
	return c
}

// force is the bow's weight at a draw as made (lbf).
func (b *shopBow) force(draw float64) float64 { return b.strung(draw).force() }
