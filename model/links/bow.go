package links

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"bendbook/model"
	"bendbook/model/aim"
)

// perLimb are links: one of about a quarter inch.
const perLimb = 128

// Bow is a bow of links: limbs of D section, tapered and rough, crooked and unequal.
type Bow struct {
	Handle       float64
	Limbs        [2]Limb
	Brace        float64
	Hook         float64 // how far above the string's middle it is drawn (in)
	Draw, Weight float64 // ordered
}

// Between is a number between two others, each as likely.
func Between(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }

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
		middle[i], width[i], size[i] = Between(r, -3, length+3), Between(r, 1.2, 3.5), r.NormFloat64()
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

// New makes a bow whose stiffness is rough by a share (1 sd of its logarithm), and which is up to a
// third heavier than ordered. Its limbs differ by another share as wholes, and in follow.
func New(r *rand.Rand, rough, unequal float64) *Bow {
	length := Between(r, 30, 36)
	b := &Bow{Handle: Between(r, 3, 5), Brace: Between(r, 5.5, 6.75)}
	width, depth := Between(r, 1.1, 1.5), Between(r, 0.9, 1.2)
	narrow, thin := Between(r, 0.35, 0.5), Between(r, 0.55, 0.75)
	power := Between(r, 1, 2)
	for s := range b.Limbs {
		l := &b.Limbs[s]
		*l = Limb{Length: length - float64(s)*Between(r, 0, 1.25), Spring: make([]float64, perLimb),
			Rest: make([]float64, perLimb)}
		own := math.Exp(unequal * r.NormFloat64())
		course, crooked := bumps(r, l.Length), bumps(r, l.Length)
		even, rest := 0.0005+0.008*unequal*r.NormFloat64(), Between(r, 0.0002, 0.001)
		for i := range l.Spring {
			u := l.Place(i) / l.Length
			w := width * (1 - (1-narrow)*math.Pow(u, power))
			d := depth * (1 - (1-thin)*u)
			l.Spring[i] = own * inertia(w, d) * math.Exp(rough*course(l.Place(i)))
			l.Rest[i] = even + rest*crooked(l.Place(i))
		}
	}
	whole := b.Handle + b.Limbs[0].Length + b.Limbs[1].Length
	b.Draw = math.Round(2*whole*Between(r, 0.37, 0.395)) / 2
	b.Weight = math.Round(Between(r, 30, 65))
	b.Scale(b.Weight * Between(r, 1.1, 1.35))
	return b
}

// NewEven makes a bow that bends by the full compass at its draw, but for a roughness of 2%.
func NewEven(r *rand.Rand) *Bow {
	b := New(r, 0, 0.1)
	heavy := b.Force(b.Draw)
	var compass aim.Aim
	for range 12 {
		c := b.Strung(b.Draw)
		for s := range b.Limbs {
			l := &b.Limbs[s]
			scale := c.Bend(model.Side(s), 0.3*l.Length)
			for i := range l.Spring {
				l.Spring[i] *= l.Bend(c.Pose.Slope[s], i) / (scale * compass.Bend(l.Place(i)/l.Length))
			}
		}
	}
	for s := range b.Limbs {
		l := &b.Limbs[s]
		course := bumps(r, l.Length)
		for i := range l.Spring {
			l.Spring[i] *= math.Exp(0.02 * course(l.Place(i)))
		}
	}
	b.Scale(heavy)
	return b
}

// Fault makes a limb stiffer or weaker by a factor between two places.
func (b *Bow) Fault(side model.Side, from, to, factor float64) {
	l := &b.Limbs[side]
	for i := range l.Spring {
		// A spring that the edge of the fault crosses is softened by its share of it.
		low, high := l.Place(i)-l.Part(i)/2, l.Place(i)+l.Part(i)/2
		share := max(min(high, to)-max(low, from), 0) / l.Part(i)
		l.Spring[i] /= 1 - share + share/factor
	}
}

// Clone is another bow like it.
func (b *Bow) Clone() *Bow {
	other := *b
	for s := range other.Limbs {
		l := &other.Limbs[s]
		l.Spring, l.Rest = slices.Clone(l.Spring), slices.Clone(l.Rest)
	}
	return &other
}

// Scale makes the whole bow weigh something at its draw.
func (b *Bow) Scale(weight float64) {
	for range 2 {
		f := weight / b.Force(b.Draw)
		for s := range b.Limbs {
			floats.Scale(f, b.Limbs[s].Spring)
		}
	}
}

// Chain is the bow with its stiffness times a factor, and with a set at its nocks (in) spread evenly.
func (b *Bow) Chain(factor, set float64) *Chain {
	c := &Chain{Handle: b.Handle, Hook: b.Hook}
	for s, l := range b.Limbs {
		own := Limb{Length: l.Length, Spring: slices.Clone(l.Spring), Rest: slices.Clone(l.Rest)}
		floats.Scale(factor, own.Spring)
		floats.AddConst(2*set/(l.Length*l.Length), own.Rest)
		c.Limbs[s] = own
	}
	return c
}

// Strung is the bow braced and drawn; one that can't be gives NaN for all figures.
func (b *Bow) Strung(draw float64) *Chain {
	c := b.Chain(1, 0)
	err := c.Brace(b.Brace)
	if err == nil {
		err = c.Draw(draw)
	}
	if err != nil {
		c.Pose.At[tension] = math.NaN()
	}
	return c
}

// Force is the bow's weight at a draw as made (lbf).
func (b *Bow) Force(draw float64) float64 { return b.Strung(draw).Force() }

// A Cut is wood off one stretch of a limb: log stiffness falls by Loss between two places (in).
type Cut struct {
	Side     model.Side
	From, To float64
	Loss     float64
}

// Loss is what cuts take at a place (in) of a limb. A cut fades over an inch at its ends.
func Loss(cuts []Cut, side model.Side, at float64) (loss float64) {
	for _, cut := range cuts {
		if cut.Side == side {
			loss += cut.Loss * min(max(min(at-cut.From, cut.To-at)+0.5, 0), 1)
		}
	}
	return loss
}

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
			at := l.Place(i)
			l.Spring[i] *= math.Exp(-Loss(cuts, model.Side(s), at) * max(1+off*uneven(at), 0))
		}
		copy(c.Limbs[s].Spring, l.Spring)
	}
	err := c.Settle(bracedOn(c.Half))
	b.Brace = c.Pose.At[hookY] - c.Pose.At[HookX]*math.Tan(c.Pose.At[angle])
	return err
}

// Shorten saws a length off each limb at its nock (in).
func (b *Bow) Shorten(off [2]float64) {
	for s := range b.Limbs {
		whole := b.Limbs[s]
		l := &b.Limbs[s]
		*l = Limb{Length: whole.Length - off[s], Spring: make([]float64, perLimb), Rest: make([]float64, perLimb)}
		for i := range l.Spring {
			at := min(max(l.Place(i)/whole.h(), 1), perLimb-1)
			k := min(int(at), perLimb-2)
			f := at - float64(k)
			l.Spring[i] = math.Pow(whole.Spring[k], 1-f) * math.Pow(whole.Spring[k+1], f)
			l.Rest[i] = (1-f)*whole.Rest[k] + f*whole.Rest[k+1]
		}
	}
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
