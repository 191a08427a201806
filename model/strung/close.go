package strung

import "math"

// unknowns fix a strung bow: for each limb the angle between limb and string at the nock (rad) and the
// tension of its half of the string.
type unknowns struct {
	upperPhi, upperT, lowerPhi, lowerT float64
}

// A closing names the equations that close the two limbs to one bow.
type closing uint8

const (
	// drawn: both halves of the string end at one hook, at a given draw.
	drawn closing = iota
	// bracedHeight: one straight string at a given height.
	bracedHeight
	// bracedLength: one straight string of a given length.
	bracedLength
)

// A target is one bow to be closed.
type target struct {
	closing closing
	value   float64 // the draw, the brace height or the string length
	length  float64 // string length, for drawn
}

// A gradient is how one equation changes with the angle of the string and with the place of the nock, its x
// and y, of the upper and of the lower limb.
type gradient [2][3]float64

// along is the change of an equation with a change of one limb's angle and nock.
func (g *gradient) along(i int, change [3]float64) float64 {
	return g[i][0]*change[0] + g[i][1]*change[1] + g[i][2]*change[2]
}

// row is the change of an equation with the unknowns, in the columns of the equations.
func (g *gradient) row(ends *[2]end, pull float64) (row [4]float64) {
	for i := range ends {
		e := &ends[i]
		row[2*i] = g.along(i, [3]float64{e.phiA, e.xA, e.yA})
		row[2*i+1] = g.along(i, [3]float64{e.phiT, e.xT, e.yT}) * pull
	}
	return row
}

// equations fills s.res, s.by and s.sys with the residuals and their derivatives, all scaled: lengths by
// s.size, tensions by s.pull, or by themselves where they are far greater. It returns the largest residual.
//
// The columns are the upper angle and tension, then the lower.
func (s *Solver) equations(t target, x unknowns) float64 {
	s.chains[0].ends(x.upperPhi, x.upperT, &s.ends[0])
	s.chains[1].ends(x.lowerPhi, x.lowerT, &s.ends[1])
	return s.close(t)
}

// close does the same from ends that are known already.
func (s *Solver) close(t target) float64 {
	u, l := &s.ends[0], &s.ends[1]
	size := s.size
	width, rise := u.x+l.x+s.handle, l.y-u.y
	if t.closing == drawn {
		// Both halves of the string end at the draw and at one place, and pull alike along the line.
		half, force := t.length/2, s.pull+math.Abs(u.tension)
		s.res = [4]float64{
			(u.y + half*u.sin - t.value) / size,
			(l.y + half*l.sin - t.value) / size,
			(width - half*(u.cos+l.cos)) / size,
			(u.tension*u.cos - l.tension*l.cos) / force,
		}
		s.by = [4]gradient{
			{{half * u.cos / size, 0, 1 / size}},
			{1: {half * l.cos / size, 0, 1 / size}},
			{{half * u.sin / size, 1 / size, 0}, {half * l.sin / size, 1 / size, 0}},
			{{-u.tension * u.sin / force}, {l.tension * l.sin / force}},
		}
	} else {
		// One straight string leaves both nocks at the same angle, runs from the one to the other, and has one
		// tension.
		along, turn := -(rise*u.sin+width*u.cos)/size, (rise*u.cos-width*u.sin)/size
		sin, cos := u.sin/size, u.cos/size
		s.res = [4]float64{u.phi + l.phi, turn, 0, (u.tension - l.tension) / s.pull}
		s.by = [4]gradient{{{1}, {1}}, {{along, -sin, -cos}, {0, -sin, cos}}}
		if t.closing == bracedHeight {
			across, slope := u.x+s.handle/2, u.sin/u.cos
			s.res[2] = (u.y + across*slope - t.value) / size
			s.by[2] = gradient{{across / (u.cos * u.cos) / size, slope / size, 1 / size}}
		} else {
			s.res[2] = -along - t.value/size
			s.by[2] = gradient{{turn, cos, -sin}, {0, cos, sin}}
		}
	}
	for k := range s.by {
		s.sys.a[k] = s.by[k].row(&s.ends, s.pull)
	}
	if t.closing == drawn {
		force := s.pull + math.Abs(u.tension)
		s.sys.a[3][1] += u.cos * s.pull / force
		s.sys.a[3][3] -= l.cos * s.pull / force
	} else {
		s.sys.a[3] = [4]float64{1: 1, 3: -1}
	}
	return largest(s.res)
}

// apply moves the unknowns by a fraction of a step in the columns of the equations.
func (s *Solver) apply(x unknowns, step [4]float64, fraction float64) unknowns {
	return unknowns{
		x.upperPhi + fraction*step[0], x.upperT + fraction*step[1]*s.pull,
		x.lowerPhi + fraction*step[2], x.lowerT + fraction*step[3]*s.pull,
	}
}

const (
	// nearEnough: from a residual this small the next full Newton step ends below rounding error of the walk
	// along the limb, so it is taken unchecked.
	nearEnough = 1e-7
	// closed is the scaled residual that an accepted answer must meet when it is walked again.
	closed = 1e-9
	// newtonSteps bounds one search.
	newtonSteps = 30
)

// newton closes the bow from a start, by damped Newton steps. On success s.odd and s.tangent belong to the
// answer. Its caller must check that the answer is sound.
func (s *Solver) newton(t target, x unknowns) (unknowns, bool) {
	if !s.patience.look() {
		return x, false
	}
	res := s.equations(t, x)
	for range newtonSteps {
		if math.IsNaN(res) || !s.sys.factor() {
			return x, false
		}
		step := s.sys.solve(s.res)
		if res < nearEnough {
			s.odd = !s.sys.positive()
			s.growth = [2]float64{math.Abs(s.ends[0].phiA), math.Abs(s.ends[1].phiA)}
			if t.closing == drawn {
				// How the unknowns move with the draw, for the next guess.
				s.tangent = s.sys.solve([4]float64{1 / s.size, 1 / s.size})
			}
			return s.apply(x, step, -1), true
		}
		fraction := s.cautious(x, step)
		for halved := 0; ; halved++ {
			if !s.patience.look() {
				return x, false
			}
			next := s.apply(x, step, -fraction)
			if r := s.equations(t, next); r < res*(1-0.1*fraction) || r < nearEnough {
				x, res = next, r
				break
			}
			if halved == 8 {
				return x, false
			}
			fraction /= 3
		}
	}
	return x, false
}

// cautious is the share of a Newton step that may be taken: no angle turns by more than half a radian and no
// tension falls below a tenth of itself in one step.
func (s *Solver) cautious(x unknowns, step [4]float64) float64 {
	fraction := 1.0
	for _, angle := range [...]float64{step[0], step[2]} {
		if a := math.Abs(angle); a > 0.5 {
			fraction = min(fraction, 0.5/a)
		}
	}
	for i, tension := range [...]float64{x.upperT, x.lowerT} {
		if less := step[2*i+1] * s.pull; tension > 0 && less > 0.9*tension {
			fraction = min(fraction, 0.9*tension/less)
		}
	}
	return fraction
}

// largest is the largest magnitude, or NaN if any is not a number.
func largest(v [4]float64) float64 {
	return max(math.Abs(v[0]), math.Abs(v[1]), math.Abs(v[2]), math.Abs(v[3]))
}
