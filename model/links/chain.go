package links

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"bendbook/model"
)

// A Chain is a bow of stiff links, joined by springs, on a string. It finds the angles of all links, the
// forces and the hook at once, by Newton's method on the least energy of limbs of fixed string length. Second
// order in the length of a link. Each limb is in its own outward frame.
type Chain struct {
	Handle float64
	Limbs  [2]Limb
	Half   float64 // half the string (in)
	Hook   float64 // how far above the string's middle it is drawn (in)
	Pose   Pose
}

// A Limb is of links: link i has the middle (i+½)h from the root, and spring i lies at its inner end. The
// first spring stands for half a link.
type Limb struct {
	Length float64
	Spring []float64 // E·I (lbf·in²)
	Rest   []float64 // curvature unstrung (1/in)
}

// A Pose is a chain at rest under its string: slopes of the links, and the values of the string.
type Pose struct {
	Slope [2][]float64
	At    [values]float64
}

// The values of the string: tension and direction (from nock to hook, in the limb's frame) for each limb, the
// hook, and half the length.
const (
	tension = iota
	angle
	lowerTension
	lowerAngle
	HookX
	hookY
	halfLength
	values
)

var (
	errChain = errors.New("the chain finds no rest")
	errSlack = errors.New("the string is slack")
)

func (l *Limb) h() float64 { return l.Length / float64(len(l.Spring)) }

// Part is the length of limb that a spring stands for.
func (l *Limb) Part(i int) float64 {
	if i == 0 {
		return l.h() / 2
	}
	return l.h()
}

// Place is where a spring lies, from the root (in).
func (l *Limb) Place(i int) float64 {
	if i == 0 {
		return l.h() / 4
	}
	return float64(i) * l.h()
}

// Unstrung are the slopes of the limb's links at rest.
func (l *Limb) Unstrung() []float64 {
	slope := make([]float64, len(l.Rest))
	sum := 0.0
	for i, k := range l.Rest {
		sum += k * l.Part(i)
		slope[i] = sum
	}
	return slope
}

// Bend is what a pose adds to the rest bend at a spring (1/in).
func (l *Limb) Bend(slope []float64, i int) float64 {
	if i == 0 {
		return slope[0]/l.Part(0) - l.Rest[0]
	}
	return (slope[i]-slope[i-1])/l.Part(i) - l.Rest[i]
}

// Energy is what is stored in the limb (lbf·in).
func (l *Limb) Energy(slope []float64) (sum float64) {
	for i, b := range l.Spring {
		k := l.Bend(slope, i)
		sum += b * k * k / 2 * l.Part(i)
	}
	return sum
}

// Point is a place of the limb at a distance along it, from the root (in).
func (l *Limb) Point(slope []float64, at float64) (x, y float64) {
	for _, s := range slope {
		step := min(l.h(), at)
		if step <= 0 {
			break
		}
		sin, cos := math.Sincos(s)
		x, y, at = x+step*cos, y+step*sin, at-step
	}
	return x, y
}

// Gap is that at the middle of a straight block laid along the belly at a place (in).
func (l *Limb) Gap(slope []float64, at, block float64) float64 {
	x0, y0 := l.Point(slope, at-block/2)
	x1, y1 := l.Point(slope, at)
	x2, y2 := l.Point(slope, at+block/2)
	return ((y2-y0)*(x1-x0) - (x2-x0)*(y1-y0)) / math.Hypot(x2-x0, y2-y0)
}

// Step is one Newton step of a limb under a tension and its direction: the change of slopes is
// d[0] + d[1]·(change of tension) + d[2]·(change of direction).
func (l *Limb) Step(slope []float64, t, a float64) (d [3][]float64) {
	n, h := len(slope), l.h()
	sinA, cosA := math.Sincos(a)
	diag, off := make([]float64, n), make([]float64, n)
	for k := range d {
		d[k] = make([]float64, n)
	}
	for i, b := range l.Spring {
		moment := b * l.Bend(slope, i)
		c := b / l.Part(i)
		diag[i] += c
		d[0][i] -= moment
		if i > 0 {
			diag[i-1] += c
			off[i] = -c
			d[0][i-1] += moment
		}
		sin, cos := math.Sincos(slope[i])
		along, across := h*(cosA*cos+sinA*sin), h*(sinA*cos-cosA*sin)
		diag[i] += t * along
		d[0][i] += t * across
		d[1][i] = across
		d[2][i] = t * along
	}
	for i := 1; i < n; i++ {
		w := off[i] / diag[i-1]
		diag[i] -= w * off[i]
		for k := range d {
			d[k][i] -= w * d[k][i-1]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for k := range d {
			if i < n-1 {
				d[k][i] -= off[i+1] * d[k][i+1]
			}
			d[k][i] /= diag[i]
		}
	}
	return d
}

// A closing says what is given besides the bow. Each gives two equations among the values of the string.
type closing func(v *[values]float64) (residual [2]float64, by [2][values]float64)

// Drawn closes a chain whose hook is held at a draw.
func (c *Chain) Drawn(draw float64) closing {
	return func(v *[values]float64) (r [2]float64, by [2][values]float64) {
		r[0], by[0][hookY] = v[hookY]-draw, 1
		r[1], by[1][halfLength] = v[halfLength]-c.Half, 1
		return r, by
	}
}

// noForce is the force on the hook, which vanishes on a braced bow.
func noForce(v *[values]float64) (f float64, by [values]float64) {
	for k := 0; k < 4; k += 2 {
		sin, cos := math.Sincos(v[k+angle])
		f += v[k] * sin
		by[k], by[k+angle] = sin, v[k]*cos
	}
	return f, by
}

// bracedAt closes a chain on the string that braces it at a height, over the middle of the handle.
func bracedAt(height float64) closing {
	return func(v *[values]float64) (r [2]float64, by [2][values]float64) {
		r[0], by[0] = noForce(v)
		tan := math.Tan(v[angle])
		r[1] = v[hookY] - v[HookX]*tan - height
		by[1][hookY], by[1][HookX], by[1][angle] = 1, -tan, -v[HookX]*(1+tan*tan)
		return r, by
	}
}

// bracedOn closes a chain on a string of half a length that braces it.
func bracedOn(half float64) closing {
	return func(v *[values]float64) (r [2]float64, by [2][values]float64) {
		r[0], by[0] = noForce(v)
		r[1], by[1][halfLength] = v[halfLength]-half, 1
		return r, by
	}
}

// Restring braces a braced chain on a string longer by some inches (in), and keeps that.
func (c *Chain) Restring(longer float64) error {
	c.Half += longer / 2
	return c.Settle(bracedOn(c.Half))
}

// newton is the Newton step from a pose: the change of all slopes, and of the values of the string.
func (c *Chain) newton(p Pose, close closing) (slopes [2][]float64, change [values]float64, err error) {
	m, rhs := mat.NewDense(values, values, nil), mat.NewVecDense(values, nil)
	var steps [2][3][]float64
	for s := range c.Limbs {
		l, k := &c.Limbs[s], 2*s
		out := 1 - 2*float64(s)
		half := p.At[halfLength] - out*c.Hook
		steps[s] = l.Step(p.Slope[s], p.At[k], p.At[k+angle])
		// The nock, and how it moves by the parts of the step.
		var x, y float64
		var dx, dy [3]float64
		for i, slope := range p.Slope[s] {
			sin, cos := math.Sincos(slope)
			x, y = x+l.h()*cos, y+l.h()*sin
			for j, d := range steps[s] {
				dx[j] -= l.h() * sin * d[i]
				dy[j] += l.h() * cos * d[i]
			}
		}
		// The string leads from the nock to the hook; its pulls along the line balance.
		sin, cos := math.Sincos(p.At[k+angle])
		pull, turn := float64(k), float64(k+angle)
		m.SetRow(k, coefficients(pull, dx[1], turn, dx[2]-half*sin, HookX, -out, halfLength, cos))
		rhs.SetVec(k, out*p.At[HookX]-c.Handle/2-x-dx[0]-half*cos)
		m.SetRow(k+1, coefficients(pull, dy[1], turn, dy[2]+half*cos, hookY, -1, halfLength, sin))
		rhs.SetVec(k+1, p.At[hookY]-y-dy[0]-half*sin)
		m.Set(4, k, out*cos)
		m.Set(4, k+angle, -out*p.At[k]*sin)
		rhs.SetVec(4, rhs.AtVec(4)-out*p.At[k]*cos)
	}
	residual, by := close(&p.At)
	for i, r := range residual {
		m.SetRow(5+i, by[i][:])
		rhs.SetVec(5+i, -r)
	}
	var solved mat.VecDense
	if err := solved.SolveVec(m, rhs); err != nil && !errors.As(err, new(mat.Condition)) {
		return slopes, change, err
	}
	copy(change[:], solved.RawVector().Data)
	for s := range slopes {
		slopes[s] = steps[s][0]
		floats.AddScaled(slopes[s], change[2*s], steps[s][1])
		floats.AddScaled(slopes[s], change[2*s+angle], steps[s][2])
	}
	return slopes, change, nil
}

// coefficients are a row of coefficients, given as pairs of index and value.
func coefficients(pairs ...float64) []float64 {
	all := make([]float64, values)
	for i := 0; i < len(pairs); i += 2 {
		all[int(pairs[i])] += pairs[i+1]
	}
	return all
}

// Settle finds the rest of the chain nearest to its pose.
func (c *Chain) Settle(close closing) error {
	p := Pose{At: c.Pose.At}
	for s := range p.Slope {
		p.Slope[s] = slices.Clone(c.Pose.Slope[s])
	}
	for range 60 {
		slopes, change, err := c.newton(p, close)
		if err != nil {
			return err
		}
		most := max(math.Abs(change[angle]), math.Abs(change[lowerAngle]))
		for s := range slopes {
			most = max(most, floats.Norm(slopes[s], math.Inf(1)))
		}
		if math.IsNaN(most) {
			return errChain
		}
		share := min(1, 0.2/most)
		for s := range slopes {
			floats.AddScaled(p.Slope[s], share, slopes[s])
		}
		floats.AddScaled(p.At[:], share, change[:])
		if most > 1e-10 {
			continue
		}
		if p.At[tension] <= 0 || p.At[lowerTension] <= 0 {
			return errSlack
		}
		c.Pose = p
		return nil
	}
	return errChain
}

// Brace strings the chain at a height, from any pose, and keeps that string.
func (c *Chain) Brace(height float64) error {
	for s := range c.Limbs {
		l := &c.Limbs[s]
		slope := l.Unstrung()
		_, rest := l.Point(slope, l.Length)
		bent := 2 * (height - rest) / (l.Length * l.Length)
		for i := range slope {
			slope[i] += bent * l.h() * (float64(i) + 0.5)
		}
		c.Pose.Slope[s] = slope
		c.Pose.At[2*s] = l.Spring[len(l.Spring)/2] * bent / (0.75 * height)
		c.Pose.At[2*s+angle] = math.Pi
	}
	c.Pose.At[HookX], c.Pose.At[hookY] = 0, height
	c.Pose.At[halfLength] = (c.Handle + c.Limbs[0].Length + c.Limbs[1].Length) / 2
	err := c.Settle(bracedAt(height))
	c.Half = c.Pose.At[halfLength]
	return err
}

// Hang leaves the chain on a long string, an inch or more beyond where it is taut.
func (c *Chain) Hang(length float64) error {
	c.Half = length / 2
	c.Pose.At[halfLength], c.Pose.At[HookX], c.Pose.At[hookY] = c.Half, 0, 0
	for s := range c.Limbs {
		l := &c.Limbs[s]
		slope := l.Unstrung()
		x, y := l.Point(slope, l.Length)
		c.Pose.Slope[s] = slope
		c.Pose.At[2*s] = 2
		across := math.Sqrt(c.Half*c.Half - (x+c.Handle/2)*(x+c.Handle/2))
		c.Pose.At[2*s+angle] = math.Atan2(across, -x-c.Handle/2)
		c.Pose.At[hookY] += (y + across) / 2
	}
	taut := c.Pose
	for _, beyond := range []float64{1, 1.5, 2, 3} {
		c.Pose = taut
		if err := c.Draw(taut.At[hookY] + beyond); err == nil {
			return nil
		}
	}
	return errSlack
}

// Draw pulls the hook to a distance from the line, by steps from where it is.
func (c *Chain) Draw(to float64) error {
	from := c.Pose.At[hookY]
	if math.IsNaN(to) {
		return errChain
	}
	n := int(math.Abs(to-from)/2) + 1
	for i := range n {
		if err := c.Settle(c.Drawn(from + (to-from)*float64(i+1)/float64(n))); err != nil {
			return err
		}
	}
	return nil
}

// Force is the scale's (lbf).
func (c *Chain) Force() float64 {
	f, _ := noForce(&c.Pose.At)
	return f
}

// Energy is what both limbs store (lbf·in).
func (c *Chain) Energy() float64 {
	return c.Limbs[0].Energy(c.Pose.Slope[0]) + c.Limbs[1].Energy(c.Pose.Slope[1])
}

// Bend is what the draw bends a limb at a place (1/in).
func (c *Chain) Bend(side model.Side, at float64) float64 {
	l, slope := &c.Limbs[side], c.Pose.Slope[side]
	i := min(max(int(at/l.h()), 1), len(slope)-2)
	f := at/l.h() - float64(i)
	return (1-f)*l.Bend(slope, i) + f*l.Bend(slope, i+1)
}
