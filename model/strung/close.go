package strung

import "math"

// A closing names the equations that close the two limbs to one bow.
type closing uint8

const (
	// drawn: both parts of the string end at one hook, at a given draw.
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

// parts are the lengths of the string from the upper nock to the hook, and from there to the lower.
func (s *Solver) parts(length float64) (upper, lower float64) {
	return length/2 - s.hook, length/2 + s.hook
}

// hangs is where the hook of a straight string is across the line, between these ends.
func (s *Solver) hangs(ends *[2]end, length float64) float64 {
	share := s.hook / length
	return (0.5+share)*ends[0].y + (0.5-share)*ends[1].y
}

// nocks is how far the two nocks are apart along the line and across it.
func (s *Solver) nocks(ends *[2]end) (width, rise float64) {
	return ends[0].x + ends[1].x + s.handle, ends[1].y - ends[0].y
}

// equations fills s.res, s.by and s.sys with the residuals and their derivatives, all scaled: lengths by
// s.size, tensions by s.pull, or by themselves where they are far greater. It returns the largest residual.
//
// The columns are the upper angle and tension, then the lower.
func (s *Solver) equations(t target, x unknowns) float64 {
	for i := range s.chains {
		s.chains[i].ends(x[i].phi, x[i].tension, &s.ends[i])
	}
	return s.close(t)
}

// close does the same from ends that are known already.
func (s *Solver) close(t target) float64 {
	u, l := &s.ends[0], &s.ends[1]
	size := s.size
	width, rise := s.nocks(&s.ends)
	if t.closing == drawn {
		// Both parts of the string end at the draw and at one place, and pull alike along the line.
		up, low := s.parts(t.length)
		force := s.pull + math.Abs(u.tension)
		s.res = [4]float64{
			(u.y + up*u.sin - t.value) / size,
			(l.y + low*l.sin - t.value) / size,
			(width - up*u.cos - low*l.cos) / size,
			(u.tension*u.cos - l.tension*l.cos) / force,
		}
		s.by = [4]gradient{
			{{up * u.cos / size, 0, 1 / size}},
			{1: {low * l.cos / size, 0, 1 / size}},
			{{up * u.sin / size, 1 / size}, {low * l.sin / size, 1 / size}},
			{{-u.tension * u.sin / force, 3: u.cos / force}, {l.tension * l.sin / force, 3: -l.cos / force}},
		}
	} else {
		// One straight string leaves both nocks at the same angle, runs from the one to the other, and has one
		// tension.
		along, turn := -(rise*u.sin+width*u.cos)/size, (rise*u.cos-width*u.sin)/size
		sin, cos := u.sin/size, u.cos/size
		s.res = [4]float64{u.phi + l.phi, turn, 0, (u.tension - l.tension) / s.pull}
		turned, pulled := gradient{{along, -sin, -cos}, {0, -sin, cos}}, gradient{{3: 1 / s.pull}, {3: -1 / s.pull}}
		s.by = [4]gradient{{{1}, {1}}, turned, {}, pulled}
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
	// NaN if any is not a number.
	return max(math.Abs(s.res[0]), math.Abs(s.res[1]), math.Abs(s.res[2]), math.Abs(s.res[3]))
}

// apply moves the unknowns by a fraction of a step in the columns of the equations.
func (s *Solver) apply(x unknowns, step [4]float64, fraction float64) unknowns {
	for i := range x {
		x[i].phi += fraction * step[2*i]
		x[i].tension += fraction * step[2*i+1] * s.pull
	}
	return x
}

// newton closes the bow from a start, by damped Newton steps. On success s.ends, the factors in s.sys and
// s.tangent belong to the answer, which its caller must check.
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
			s.tangent = s.byDraw()
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
			if halved == halvings {
				return x, false
			}
			fraction /= 3
		}
	}
	return x, false
}

// byDraw is how the unknowns of a drawn bow move with the draw, by its factored equations.
func (s *Solver) byDraw() [4]float64 { return s.sys.solve([4]float64{1 / s.size, 1 / s.size}) }

// cautious is the share of a Newton step that may be taken.
func (s *Solver) cautious(x unknowns, step [4]float64) float64 {
	fraction := 1.0
	for i := range x {
		if turn := math.Abs(step[2*i]); turn > turnAtOnce {
			fraction = min(fraction, turnAtOnce/turn)
		}
		if less := step[2*i+1] * s.pull; x[i].tension > 0 && less > leaveAtOnce*x[i].tension {
			fraction = min(fraction, leaveAtOnce*x[i].tension/less)
		}
	}
	return fraction
}

// follow moves a parameter from one value to another by calling try at places on the way, in strides that are
// halved where it fails, down to the finest, and doubled where it does not. It returns the last value that
// succeeded, and whether that was the goal.
func follow(from, to, finest float64, try func(v float64) bool) (float64, bool) {
	here, stride := from, to-from
	for range mostStrides {
		next := here + stride
		if math.Abs(stride) >= math.Abs(to-here) {
			next, stride = to, to-here
		}
		if try(next) {
			if next == to {
				return to, true
			}
			here = next
			stride *= 2
			continue
		}
		stride /= 2
		if math.Abs(stride) < finest {
			break
		}
	}
	return here, false
}
