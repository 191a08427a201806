package strung

import "gonum.org/v1/gonum/mat"

// Columns says which column of a derivative belongs to which parameter, by limb, the upper first. A block of
// columns has one for each knot, from the root to the nock.
type Columns struct {
	// Stiffness and Rest are the first columns of the derivatives with respect to the natural logarithm of
	// stiffness at the knots, and with respect to rest bend (1/length).
	Stiffness, Rest [2]int
	// String is the column of the string's length, or of its brace height where the string is given by that.
	// All other columns hold that one fixed.
	String int
	// Draw is the column of the draw. It is 0 throughout for the braced bow, whose draw is not free.
	Draw int
	// Len is the number of columns.
	Len int
}

// Derivatives are the derivatives of a solution and of its readings, exact for the discretised bow. Every
// slice has Columns.Len values, one for each parameter; every matrix a row for each station and a column for
// each parameter. A matrix is nil where there are no stations.
type Derivatives struct {
	Columns Columns
	// Force and Work as in [Solution].
	Force, Work []float64
	// StringLength and Brace as in [Solution]: of the two, the one that is given changes only with its own
	// column. Brace is 0 for a long string.
	StringLength, Brace []float64
	// Limbs are those of the readings.
	Limbs [2]LimbDerivatives
}

// LimbDerivatives are those of one limb; see [LimbReadings].
type LimbDerivatives struct {
	Line, Bend, Gap, Relaxed, Block *mat.Dense
}

// Derive gives the derivatives of a solution of this bow. Once d has been used for a bow of this size it
// allocates nothing. Errors are [ErrStale], and [ErrNotConverged] where the equations have no derivative, at
// a limit of equilibrium.
func (s *Solver) Derive(sol *Solution, d *Derivatives) error {
	if err := s.relax(sol); err != nil {
		return err
	}
	if err := s.deriveStart(); err != nil {
		return err
	}
	d.Columns = s.columns()
	s.differentiate(sol.x, true)
	ch := &s.startChange.changes
	if !sol.slack {
		ch = &s.changes
		ch.resize(d.Columns.Len)
		copy(ch.length, s.startChange.changes.length)
		if err := s.deriveDrawn(sol, ch); err != nil {
			return err
		}
	}
	s.assemble(sol, ch, d)
	return nil
}

// deriveDrawn finds the changes of the unknowns of a drawn bow by the theorem of implicit functions;
// ch.length is known already.
func (s *Solver) deriveDrawn(sol *Solution, ch *changes) error {
	s.close(target{closing: drawn, value: sol.Draw, length: sol.StringLength})
	if !s.sys.factor() {
		return &Error{Err: ErrNotConverged}
	}
	byLength := s.byLength()
	set := func(col int, rhs [4]float64) {
		for k := range rhs {
			rhs[k] -= ch.length[col] * byLength[k]
		}
		ch.set(col, s.sys.solve(rhs), s.pull)
	}
	s.eachKnot(func(col, _, _ int, rhs [4]float64, _ outcome) { set(col, rhs) })
	columns := s.columns()
	set(columns.String, [4]float64{})
	set(columns.Draw, [4]float64{1 / s.size, 1 / s.size})
	return nil
}
