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

// columns are those of the derivatives of this bow.
func (s *Solver) columns() Columns {
	u, l := len(s.chains[0].limb.At), len(s.chains[1].limb.At)
	n := 2 * (u + l)
	return Columns{Stiffness: [2]int{0, 2 * u}, Rest: [2]int{u, 2*u + l}, String: n, Draw: n + 1, Len: n + 2}
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

// changes are the derivatives of the unknowns and of the string, by column.
type changes struct {
	phi, tension [2][]float64
	length       []float64
}

func (c *changes) resize(n int) {
	for i := range 2 {
		c.phi[i] = zeroed(c.phi[i], n)
		c.tension[i] = zeroed(c.tension[i], n)
	}
	c.length = zeroed(c.length, n)
}

// set writes the changes of the unknowns by one column, as the equations give them.
func (c *changes) set(col int, x [4]float64, pull float64) {
	c.phi[0][col], c.tension[0][col] = x[0], x[1]*pull
	c.phi[1][col], c.tension[1][col] = x[2], x[3]*pull
}

// zeroed is a slice of n zeros, reusing the room of v.
func zeroed(v []float64, n int) []float64 {
	v = sized(v, n)
	clear(v)
	return v
}

// Derive gives the derivatives of a solution of this bow. Once d has been used for a bow of this size it
// allocates nothing. Errors are [ErrStale], and [ErrNotConverged] where the equations have no derivative, at
// a limit of equilibrium.
func (s *Solver) Derive(sol *Solution, d *Derivatives) error {
	if sol.owner != s || sol.version != s.version {
		return &Error{Err: ErrStale}
	}
	if err := s.deriveStart(); err != nil {
		return err
	}
	d.Columns = s.columns()
	for i := range s.places {
		s.places[i].relax(s, i)
	}
	ch := &s.startChange.changes
	if !sol.slack {
		ch = &s.changes
		ch.resize(d.Columns.Len)
		copy(ch.length, s.startChange.changes.length)
	}
	s.traceBoth(sol.x)
	for i := range s.sens {
		s.sens[i].find(&s.chains[i], &s.traces[i], s.ends[i].tension, s.places[i].needed)
		s.ends[i].takeDerivatives(&s.sens[i])
	}
	if !sol.slack {
		if err := s.deriveDrawn(sol, ch); err != nil {
			return err
		}
	}
	s.assemble(sol, ch, d)
	return nil
}

// takeDerivatives sets the derivatives of an end from a walk that found them.
func (o *end) takeDerivatives(v *sensitivity) {
	root := len(v.angle) - 1
	a, t := &v.angle[root], &v.tension[root]
	o.phiA, o.dA, o.eA = a[byPhi], a[byD], a[byE]
	o.phiT, o.dT, o.eT = t[byPhi], t[byD], t[byE]
	o.turnToLine()
}

// turned is the change of the string's angle and of the nock's x and y with a change along the string.
func (o *end) turned(phi, d, e float64) [3]float64 {
	return [3]float64{phi, e*o.cos + d*o.sin + o.y*phi, -e*o.sin + d*o.cos - o.x*phi}
}

// eachKnot calls do for the column of each parameter of both limbs, the p-th of limb i, with the right side
// of the equations in s.by: what its direct change asks of the unknowns.
func (s *Solver) eachKnot(do func(col, i, p int, rhs [4]float64, direct [3]float64)) {
	col := 0
	for i := range s.ends {
		v := &s.sens[i]
		root := len(v.angle) - 1
		phi, d, e := v.row(root, byPhi), v.row(root, byD), v.row(root, byE)
		for p := range phi {
			direct := s.ends[i].turned(phi[p], d[p], e[p])
			var rhs [4]float64
			for k := range rhs {
				rhs[k] = -s.by[k].along(i, direct)
			}
			do(col, i, p, rhs, direct)
			col++
		}
	}
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
	s.eachKnot(func(col, _, _ int, rhs [4]float64, _ [3]float64) { set(col, rhs) })
	columns := s.columns()
	set(columns.String, [4]float64{})
	set(columns.Draw, [4]float64{1 / s.size, 1 / s.size})
	return nil
}

// byLength is the change of the equations of a drawn bow with the length of its string.
func (s *Solver) byLength() [4]float64 {
	u, l := &s.ends[0], &s.ends[1]
	return [4]float64{u.sin / 2 / s.size, l.sin / 2 / s.size, -(u.cos + l.cos) / 2 / s.size, 0}
}
