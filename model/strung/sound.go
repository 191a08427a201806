package strung

import "math"

const (
	// sharpestTurn is the most that a limb may turn within one segment (rad). Beyond it the chain no longer
	// follows the limb closely enough to be believed.
	sharpestTurn = 0.5
	// slight is the share of the scale below which a distance or a tension counts as nothing.
	slight = 1e-9
)

// sound traces both limbs for the unknowns x and returns what is wrong with them as an answer to t, or nil.
// The ends and traces of x stay in s.
func (s *Solver) sound(t target, x unknowns) *Error {
	s.traceBoth(x)
	if !(s.close(t) <= closed) {
		return &Error{Err: ErrNotConverged}
	}
	if min(x.upperT, x.lowerT) < -slight*s.pull {
		return &Error{Err: ErrSlack}
	}
	return s.faults()
}

// faults looks for a fault in the traces of both limbs.
func (s *Solver) faults() *Error {
	for i := range s.traces {
		if err := s.fault(i); err != nil {
			return err
		}
	}
	return nil
}

// fault tells what is wrong with one limb as it was last traced, or nil.
func (s *Solver) fault(i int) *Error {
	side, c, tr := Upper+Side(i), &s.chains[i], &s.traces[i]
	if !(tr.sharpest <= sharpestTurn) {
		return &Error{Err: ErrFolded, Side: side, At: c.at(tr.sharpestNode)}
	}
	if tr.phi[0] < -slight {
		// The limb leaves the nock on the far side of the string.
		return &Error{Err: ErrTouch, Side: side, At: c.limb.Length}
	}
	for n := range tr.phi {
		if tr.phi[n] >= math.Pi {
			return &Error{Err: ErrFolded, Side: side, At: c.at(n)}
		}
		if tr.d[n] < -slight*s.size {
			return &Error{Err: ErrTouch, Side: side, At: c.at(n)}
		}
	}
	if s.ends[i].x <= -s.handle/2 {
		return &Error{Err: ErrFolded, Side: side, At: c.limb.Length}
	}
	return nil
}

// traceBoth walks both limbs, keeps their traces, and sets their ends without derivatives.
func (s *Solver) traceBoth(x unknowns) {
	phi := [2]float64{x.upperPhi, x.lowerPhi}
	tension := [2]float64{x.upperT, x.lowerT}
	for i := range s.chains {
		tr := &s.traces[i]
		s.chains[i].trace(phi[i], tension[i], tr)
		root := len(tr.phi) - 1
		s.ends[i] = end{
			nockPhi: phi[i], tension: tension[i],
			phi: tr.phi[root], d: tr.d[root], e: tr.e[root], sin: tr.sin[root], cos: tr.cos[root],
		}
		s.ends[i].turnToLine()
	}
}
