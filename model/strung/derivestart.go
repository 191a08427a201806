package strung

// changes are the derivatives of the unknowns and of the string, by column.
type changes struct {
	phi, tension [2][]float64
	length       []float64
}

func (c *changes) resize(n int) {
	for i := range c.phi {
		c.phi[i], c.tension[i] = zeroed(c.phi[i], n), zeroed(c.tension[i], n)
	}
	c.length = zeroed(c.length, n)
}

// set writes the changes of the unknowns by one column, as the equations give them.
func (c *changes) set(col int, x [4]float64, pull float64) {
	for i := range c.phi {
		c.phi[i][col], c.tension[i][col] = x[2*i], x[2*i+1]*pull
	}
}

// A startDerivative is how the start depends on the parameters, for the version of the bow given.
type startDerivative struct {
	version uint64
	changes changes
	brace   []float64 // of the brace height
	energy  []float64 // of the energy stored there
}

// deriveStart finds how the start depends on the parameters, once for each bow.
func (s *Solver) deriveStart() error {
	b := &s.startChange
	if b.version == s.version {
		return nil
	}
	cols := s.columns()
	b.changes.resize(cols.Len)
	b.brace, b.energy = zeroed(b.brace, cols.Len), zeroed(b.energy, cols.Len)
	s.differentiate(s.start.x, false)
	find := s.deriveBraced
	if !s.start.braced {
		find = s.deriveSlack
	}
	if err := find(); err != nil {
		return err
	}
	b.version = s.version
	return nil
}

// columns are those of the derivatives of this bow.
func (s *Solver) columns() Columns {
	u, l := len(s.chains[0].limb.At), len(s.chains[1].limb.At)
	n := 2 * (u + l)
	return Columns{Stiffness: [2]int{0, 2 * u}, Rest: [2]int{u, 2*u + l}, String: n, Draw: n + 1, Len: n + 2}
}

// differentiate traces both limbs for the unknowns x and finds how they change, at the root and where asked
// for next to the stations too.
func (s *Solver) differentiate(x unknowns, stations bool) {
	s.traceBoth(x)
	for i := range s.sens {
		v, o := &s.sens[i], &s.ends[i]
		var needed []bool
		if stations {
			needed = s.places[i].needed
		}
		v.find(&s.chains[i], &s.traces[i], o.tension, needed)
		root := len(v.angle) - 1
		o.setChanges(&v.angle[root], &v.tension[root])
	}
}

// eachKnot calls do for the column of each parameter of both limbs, the p-th of limb i, with its direct change
// of the limb's outcome and the right side of the equations in s.by: what that asks of the unknowns.
func (s *Solver) eachKnot(do func(col, i, p int, rhs [4]float64, direct outcome)) {
	col := 0
	for i := range s.ends {
		v := &s.sens[i]
		root := len(v.angle) - 1
		phi, d, e := v.row(root, byPhi), v.row(root, byD), v.row(root, byE)
		for p := range phi {
			direct := s.ends[i].turned(&change{phi[p], d[p], e[p]})
			var rhs [4]float64
			for k := range rhs {
				rhs[k] = -s.by[k].along(i, &direct)
			}
			do(col, i, p, rhs, direct)
			col++
		}
	}
}

// byLength is the change of the equations of a drawn bow with the length of its string.
func (s *Solver) byLength() [4]float64 {
	u, l := &s.ends[0], &s.ends[1]
	return [4]float64{u.sin / 2 / s.size, l.sin / 2 / s.size, -(u.cos + l.cos) / 2 / s.size, 0}
}

// deriveBraced is deriveStart for a braced bow.
func (s *Solver) deriveBraced() error {
	b, cols := &s.startChange, s.columns()
	// Both ways to fix the string have the same equations but for the last. The one that holds gives the
	// changes of the unknowns, the other then the change of its value.
	held, free := target{closing: bracedLength, value: s.start.length},
		target{closing: bracedHeight, value: s.start.brace}
	fixed, change := b.changes.length, b.brace
	if s.string.byBrace {
		held, free = free, held
		fixed, change = change, fixed
	}
	s.close(free)
	freeBy, freeRow := s.by[2], s.sys.a[2]
	s.close(held)
	if !s.sys.factor() {
		return &Error{Err: ErrNotConverged}
	}
	set := func(col int, rhs [4]float64) {
		x := s.sys.solve(rhs)
		b.changes.set(col, x, s.pull)
		for k, by := range freeRow {
			change[col] += s.size * by * x[k]
		}
	}
	s.eachKnot(func(col, i, p int, rhs [4]float64, direct outcome) {
		change[col] = s.size * freeBy.along(i, &direct)
		b.energy[col] = s.sens[i].energy[p]
		set(col, rhs)
	})
	set(cols.String, [4]float64{2: 1 / s.size})
	fixed[cols.String] = 1
	for col := range b.energy {
		b.energy[col] -= s.ends[0].tension * b.changes.length[col]
	}
	return nil
}

// deriveSlack is deriveStart for a long string that is just taut: no tension, limbs at rest.
func (s *Solver) deriveSlack() error {
	b, cols := &s.startChange, s.columns()
	b.changes.length[cols.String] = 1
	// With both tensions held at nothing the equations of the drawn bow leave the nock angles to be found, and
	// the draw in place of a tension.
	s.close(target{closing: drawn, value: s.start.draw, length: s.start.length})
	for k := range s.sys.a {
		s.sys.a[k][1], s.sys.a[k][3] = 0, 0
	}
	s.sys.a[0][1], s.sys.a[1][1], s.sys.a[3] = -1, -1, [4]float64{3: 1}
	if !s.sys.factor() {
		return &Error{Err: ErrNotConverged}
	}
	set := func(col int, rhs [4]float64) {
		x := s.sys.solve(rhs)
		b.changes.phi[0][col], b.changes.phi[1][col] = x[0], x[2]
	}
	s.eachKnot(func(col, _, _ int, rhs [4]float64, _ outcome) { set(col, rhs) })
	byLength := s.byLength()
	for k := range byLength {
		byLength[k] = -byLength[k]
	}
	set(cols.String, byLength)
	return nil
}
