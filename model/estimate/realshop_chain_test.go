package estimate_test

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"bendbook/model"
)

// A chain is a bow of stiff links, joined by springs: a solver for the bows of the real shop that shares
// nothing with the one that the estimate uses. It finds the angles of all links, the forces and the hook at
// once, by Newton's method on the least energy of limbs of fixed string length. Second order in the length of
// a link. Inches, pounds-force and radians; each limb in its own outward frame.
type chain struct {
	handle float64
	limbs  [2]links
	half   float64 // half the string (in)
	pose   pose
}

// links are one limb: link i has the middle (i+½)h from the root, and spring i lies at its inner end. The
// first spring stands for half a link.
type links struct {
	length float64
	spring []float64 // E·I (lbf·in²)
	rest   []float64 // curvature unstrung (1/in)
}

// A pose is a chain at rest under its string: slopes of the links, and the values of the string.
type pose struct {
	slope [2][]float64
	at    [values]float64
}

// The values of the string: tension and direction (from nock to hook, in the limb's frame) for each limb, the
// hook, and half the length.
const (
	tension = iota
	angle
	lowerTension
	lowerAngle
	hookX
	hookY
	halfLength
	values
)

var (
	errChain = errors.New("the chain finds no rest")
	errSlack = errors.New("the string is slack")
)

func (l *links) h() float64 { return l.length / float64(len(l.spring)) }

// part is the length of limb that a spring stands for.
func (l *links) part(i int) float64 {
	if i == 0 {
		return l.h() / 2
	}
	return l.h()
}

// place is where a spring lies, from the root (in).
func (l *links) place(i int) float64 {
	if i == 0 {
		return l.h() / 4
	}
	return float64(i) * l.h()
}

// unstrung are the slopes of the limb's links at rest.
func (l *links) unstrung() []float64 {
	slope := make([]float64, len(l.rest))
	sum := 0.0
	for i, k := range l.rest {
		sum += k * l.part(i)
		slope[i] = sum
	}
	return slope
}

// bend is what a pose adds to the rest bend at a spring (1/in).
func (l *links) bend(slope []float64, i int) float64 {
	if i == 0 {
		return slope[0]/l.part(0) - l.rest[0]
	}
	return (slope[i]-slope[i-1])/l.part(i) - l.rest[i]
}

// energy is what is stored in the limb (lbf·in).
func (l *links) energy(slope []float64) (sum float64) {
	for i, b := range l.spring {
		k := l.bend(slope, i)
		sum += b * k * k / 2 * l.part(i)
	}
	return sum
}

// point is a place of the limb at a distance along it, from the root (in).
func (l *links) point(slope []float64, at float64) (x, y float64) {
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

// step is one Newton step of a limb under a tension and its direction: the change of slopes is
// d[0] + d[1]·(change of tension) + d[2]·(change of direction).
func (l *links) step(slope []float64, t, a float64) (d [3][]float64) {
	n, h := len(slope), l.h()
	sinA, cosA := math.Sincos(a)
	diag, off := make([]float64, n), make([]float64, n)
	for k := range d {
		d[k] = make([]float64, n)
	}
	for i, b := range l.spring {
		moment := b * l.bend(slope, i)
		c := b / l.part(i)
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

// drawn closes a chain whose hook is held at a draw.
func (c *chain) drawn(draw float64) closing {
	return func(v *[values]float64) (r [2]float64, by [2][values]float64) {
		r[0], by[0][hookY] = v[hookY]-draw, 1
		r[1], by[1][halfLength] = v[halfLength]-c.half, 1
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
		r[1] = v[hookY] - v[hookX]*tan - height
		by[1][hookY], by[1][hookX], by[1][angle] = 1, -tan, -v[hookX]*(1+tan*tan)
		return r, by
	}
}

// newton is the Newton step from a pose: the change of all slopes, and of the values of the string.
func (c *chain) newton(p pose, close closing) (slopes [2][]float64, change [values]float64, err error) {
	m, rhs := mat.NewDense(values, values, nil), mat.NewVecDense(values, nil)
	var steps [2][3][]float64
	half := p.at[halfLength]
	for s := range c.limbs {
		l, k := &c.limbs[s], 2*s
		steps[s] = l.step(p.slope[s], p.at[k], p.at[k+angle])
		// The nock, and how it moves by the parts of the step.
		var x, y float64
		var dx, dy [3]float64
		for i, slope := range p.slope[s] {
			sin, cos := math.Sincos(slope)
			x, y = x+l.h()*cos, y+l.h()*sin
			for j, d := range steps[s] {
				dx[j] -= l.h() * sin * d[i]
				dy[j] += l.h() * cos * d[i]
			}
		}
		// The string leads from the nock to the hook; its pulls along the line balance.
		sin, cos := math.Sincos(p.at[k+angle])
		out := 1 - 2*float64(s)
		pull, turn := float64(k), float64(k+angle)
		m.SetRow(k, coefficients(pull, dx[1], turn, dx[2]-half*sin, hookX, -out, halfLength, cos))
		rhs.SetVec(k, out*p.at[hookX]-c.handle/2-x-dx[0]-half*cos)
		m.SetRow(k+1, coefficients(pull, dy[1], turn, dy[2]+half*cos, hookY, -1, halfLength, sin))
		rhs.SetVec(k+1, p.at[hookY]-y-dy[0]-half*sin)
		m.Set(4, k, out*cos)
		m.Set(4, k+angle, -out*p.at[k]*sin)
		rhs.SetVec(4, rhs.AtVec(4)-out*p.at[k]*cos)
	}
	residual, by := close(&p.at)
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

// settle finds the rest of the chain nearest to its pose.
func (c *chain) settle(close closing) error {
	p := pose{at: c.pose.at}
	for s := range p.slope {
		p.slope[s] = slices.Clone(c.pose.slope[s])
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
			floats.AddScaled(p.slope[s], share, slopes[s])
		}
		floats.AddScaled(p.at[:], share, change[:])
		if most > 1e-10 {
			continue
		}
		if p.at[tension] <= 0 || p.at[lowerTension] <= 0 {
			return errSlack
		}
		c.pose = p
		return nil
	}
	return errChain
}

// brace strings the chain at a height, from any pose, and keeps that string.
func (c *chain) brace(height float64) error {
	for s := range c.limbs {
		l := &c.limbs[s]
		slope := l.unstrung()
		_, rest := l.point(slope, l.length)
		bent := 2 * (height - rest) / (l.length * l.length)
		for i := range slope {
			slope[i] += bent * l.h() * (float64(i) + 0.5)
		}
		c.pose.slope[s] = slope
		c.pose.at[2*s] = l.spring[len(l.spring)/2] * bent / (0.75 * height)
		c.pose.at[2*s+angle] = math.Pi
	}
	c.pose.at[hookX], c.pose.at[hookY] = 0, height
	c.pose.at[halfLength] = (c.handle + c.limbs[0].length + c.limbs[1].length) / 2
	err := c.settle(bracedAt(height))
	c.half = c.pose.at[halfLength]
	return err
}

// hang leaves the chain on a long string, an inch or more beyond where it is taut.
func (c *chain) hang(length float64) error {
	c.half = length / 2
	c.pose.at[halfLength], c.pose.at[hookX], c.pose.at[hookY] = c.half, 0, 0
	for s := range c.limbs {
		l := &c.limbs[s]
		slope := l.unstrung()
		x, y := l.point(slope, l.length)
		c.pose.slope[s] = slope
		c.pose.at[2*s] = 2
		across := math.Sqrt(c.half*c.half - (x+c.handle/2)*(x+c.handle/2))
		c.pose.at[2*s+angle] = math.Atan2(across, -x-c.handle/2)
		c.pose.at[hookY] += (y + across) / 2
	}
	taut := c.pose
	for _, beyond := range []float64{1, 1.5, 2, 3} {
		c.pose = taut
		if err := c.draw(taut.at[hookY] + beyond); err == nil {
			return nil
		}
	}
	return errSlack
}

// draw pulls the hook to a distance from the line, by steps from where it is.
func (c *chain) draw(to float64) error {
	from := c.pose.at[hookY]
	if math.IsNaN(to) {
		return errChain
	}
	n := int(math.Abs(to-from)/2) + 1
	for i := range n {
		if err := c.settle(c.drawn(from + (to-from)*float64(i+1)/float64(n))); err != nil {
			return err
		}
	}
	return nil
}

// force is the scale's (lbf).
func (c *chain) force() float64 {
	f, _ := noForce(&c.pose.at)
	return f
}

// energy is what both limbs store (lbf·in).
func (c *chain) energy() float64 {
	return c.limbs[0].energy(c.pose.slope[0]) + c.limbs[1].energy(c.pose.slope[1])
}

// bend is what the draw bends a limb at a place (1/in).
func (c *chain) bend(side model.Side, at float64) float64 {
	l, slope := &c.limbs[side], c.pose.slope[side]
	i := min(max(int(at/l.h()), 1), len(slope)-2)
	f := at/l.h() - float64(i)
	return (1-f)*l.bend(slope, i) + f*l.bend(slope, i+1)
}
