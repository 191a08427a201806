package strung

import "math"

// Brace solves the bow as it hangs braced, with no pull on the hook. A long string has no braced bow: sol is
// then the bow at rest at the draw where its string is just taut. Errors are those of the string:
// [ErrBraceLow], [ErrBraceHigh], [ErrStringShort], [ErrTouch], [ErrFolded], [ErrUnsteady], [ErrNotConverged].
func (s *Solver) Brace(sol *Solution) error {
	if err := s.begin(); err != nil {
		return err
	}
	s.traceBoth(s.start.x)
	s.fill(sol, s.start.draw, s.start.x, [4]float64{})
	sol.Force, sol.Work, sol.slack = 0, 0, true
	return nil
}

// Draw solves the bow drawn until the hook stands at the given draw (length). What sol held before serves as
// the first guess. After an error sol is unchanged.
//
// Errors are those of [Solver.Brace] and [ErrSlack], [ErrReach], [ErrFolded], [ErrTouch], [ErrNotConverged];
// the first three carry the limit.
func (s *Solver) Draw(draw float64, sol *Solution) error {
	if math.IsNaN(draw) || math.Abs(draw) > maxMagnitude {
		return inputError("draw", "must be a length, not %v", draw)
	}
	if err := s.begin(); err != nil {
		return err
	}
	if draw < s.start.draw+slight*s.size {
		if draw < s.start.draw-slight*s.size {
			return limited(ErrSlack, "", draw, s.start.draw)
		}
		return s.Brace(sol)
	}
	s.patience.spent = 0
	t := target{closing: drawn, value: draw, length: s.start.length}
	if sol.version != 0 && !sol.slack {
		guess := s.apply(sol.x, sol.tangent, draw-sol.Draw)
		if x, ok := s.newton(t, guess); ok && nearby(x, guess, mostSurprise) && s.accept(t, &x) == nil {
			s.fill(sol, draw, x, s.tangent)
			sol.slack = false
			return nil
		}
	}
	x, err := s.approach(t)
	if err != nil {
		return s.patience.verdict(err)
	}
	s.fill(sol, draw, x, s.tangent)
	sol.slack = false
	return nil
}

// accept tells whether x, where newton has just ended, is the answer to t: sound, and on the branch that
// leads there from the braced bow. Along that branch the determinant of the drawn equations keeps the sign it
// has at every start, which is negative; it changes where a limb could snap from one shape to another.
func (s *Solver) accept(t target, x *unknowns) *Error {
	for i := range s.growth {
		if s.growth[i] > mostGrowth {
			return &Error{Err: ErrFolded, Side: Upper + Side(i), At: s.chains[i].limb.Length}
		}
	}
	if !s.odd {
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

// polishSteps bounds the steps after the last unchecked one.
const polishSteps = 6

// mostGrowth is how many times a turn at the nock may grow on its way to the root. It grows without bound as
// the limb comes to lie along the string, until rounding drowns the answer.
const mostGrowth = 1e6
