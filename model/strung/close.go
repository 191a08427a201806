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

// equations fills s.res and s.sys with the residuals and their derivatives, both scaled: lengths by s.size,
// tensions by s.pull, or by themselves where they are far greater. It returns the largest residual.
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
	size, pull := s.size, s.pull
	if t.closing == drawn {
		half := t.length / 2
		force := s.pull + math.Abs(u.tension)
		u.reach(half)
		l.reach(half)
		s.res = [4]float64{
			(u.hookY - t.value) / size,
			(l.hookY - t.value) / size,
			(u.hookX + l.hookX + s.handle) / size,
			(u.pullX - l.pullX) / force,
		}
		s.sys.a = [4][4]float64{
			{u.hookYA / size, u.hookYT * pull / size, 0, 0},
			{0, 0, l.hookYA / size, l.hookYT * pull / size},
			{u.hookXA / size, u.hookXT * pull / size, l.hookXA / size, l.hookXT * pull / size},
			{u.pullXA / force, u.pullXT * pull / force, -l.pullXA / force, -l.pullXT * pull / force},
		}
		return largest(s.res)
	}
	// One straight string: it leaves both nocks at the same angle, runs from the one to the other, and has one
	// tension.
	width := u.x + l.x + s.handle
	rise := l.y - u.y
	across := u.x + s.handle/2
	slope := u.sin / u.cos
	steep := across / (u.cos * u.cos)
	along, turn := -(rise*u.sin + width*u.cos), rise*u.cos-width*u.sin
	s.res = [4]float64{u.phi + l.phi, turn / size, 0, (u.tension - l.tension) / pull}
	s.sys.a = [4][4]float64{{u.phiA, u.phiT * pull, l.phiA, l.phiT * pull}, {}, {}, {0, 1, 0, -1}}
	row := func(upperA, upperT, lowerA, lowerT float64) [4]float64 {
		return [4]float64{upperA / size, upperT * pull / size, lowerA / size, lowerT * pull / size}
	}
	s.sys.a[1] = row(
		-u.yA*u.cos-u.xA*u.sin+along*u.phiA, -u.yT*u.cos-u.xT*u.sin+along*u.phiT,
		l.yA*u.cos-l.xA*u.sin, l.yT*u.cos-l.xT*u.sin)
	if t.closing == bracedHeight {
		s.res[2] = (u.y + across*slope - t.value) / size
		s.sys.a[2] = row(u.yA+u.xA*slope+steep*u.phiA, u.yT+u.xT*slope+steep*u.phiT, 0, 0)
	} else {
		s.res[2] = (-along - t.value) / size
		s.sys.a[2] = row(
			u.xA*u.cos-u.yA*u.sin+turn*u.phiA, u.xT*u.cos-u.yT*u.sin+turn*u.phiT,
			l.xA*u.cos+l.yA*u.sin, l.xT*u.cos+l.yT*u.sin)
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
	// along the limb, so it is taken unseen.
	nearEnough = 1e-7
	// closed is the scaled residual that an accepted answer must meet when it is walked again.
	closed = 1e-9
	// newtonSteps bounds one search.
	newtonSteps = 30
)

// newton closes the bow from a start, by damped Newton steps. On success s.odd and s.tangent belong to the
// answer. What it found is not yet known to be sound.
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
