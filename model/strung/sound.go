package strung

import "math"

// accept tells whether x, where newton has just ended, is the answer to t: sound, and on the branch that
// starts at the braced bow. Along that branch the determinant of the drawn equations stays negative, as it is
// at every start; it changes sign where a limb could snap from one shape to another.
func (s *Solver) accept(t target, x *unknowns) *Error {
	for i := range s.ends {
		if math.Abs(s.ends[i].byA[0]) > mostGrowth {
			return &Error{Err: ErrFolded, Side: sideOf(i), At: s.chains[i].limb.Length}
		}
	}
	if s.sys.det > 0 {
		return &Error{Err: ErrUnsteady}
	}
	err := s.sound(t, *x)
	for range polishSteps {
		if err == nil || err.Err != ErrNotConverged {
			return err
		}
		// The last step was not checked and may not have been enough.
		again, ok := s.newton(t, *x)
		if !ok {
			return err
		}
		*x = again
		err = s.sound(t, again)
	}
	return err
}

// sound traces both limbs for the unknowns x and returns what is wrong with them as an answer to t, or nil.
// The ends and traces of x stay in s.
func (s *Solver) sound(t target, x unknowns) *Error {
	s.traceBoth(x)
	if !(s.close(t) <= closed) {
		return &Error{Err: ErrNotConverged}
	}
	if min(x[0].tension, x[1].tension) < -slight*s.pull {
		return &Error{Err: ErrSlack}
	}
	return s.fault()
}

// fault tells what is wrong with the limbs as they were last traced, or nil.
func (s *Solver) fault() *Error {
	for i := range s.traces {
		c, tr := &s.chains[i], &s.traces[i]
		at := func(err error, node int) *Error {
			return &Error{Err: err, Side: sideOf(i), At: c.limb.Length - c.node[node]}
		}
		if !(tr.sharpest <= sharpestTurn) {
			return at(ErrFolded, tr.sharpestNode)
		}
		if tr.phi[0] < -slight {
			return at(ErrTouch, 0) // the limb leaves the nock on the far side of the string
		}
		for n := range tr.phi {
			if tr.phi[n] >= math.Pi {
				return at(ErrFolded, n)
			}
			if tr.d[n] < -slight*s.size {
				return at(ErrTouch, n)
			}
		}
		if s.ends[i].x <= -s.handle/2 {
			return at(ErrFolded, 0)
		}
	}
	return nil
}

// traceBoth walks both limbs, keeps their traces, and sets their ends without derivatives.
func (s *Solver) traceBoth(x unknowns) {
	for i := range s.chains {
		tr, e := &s.traces[i], &s.ends[i]
		s.chains[i].trace(x[i].phi, x[i].tension, tr)
		root := len(tr.phi) - 1
		*e = end{
			nockPhi: x[i].phi, tension: x[i].tension,
			phi: tr.phi[root], d: tr.d[root], e: tr.e[root], sin: tr.sin[root], cos: tr.cos[root],
		}
		e.findNock()
	}
}
