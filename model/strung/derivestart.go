package strung

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
	s.traceBoth(s.start.x)
	for i := range s.sens {
		s.sens[i].find(&s.chains[i], &s.traces[i], s.ends[i].tension, nil)
		s.ends[i].takeDerivatives(&s.sens[i])
	}
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
	s.eachKnot(func(col, i, p int, rhs [4]float64, direct [3]float64) {
		change[col] = s.size * freeBy.along(i, direct)
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
	s.eachKnot(func(col, _, _ int, rhs [4]float64, _ [3]float64) { set(col, rhs) })
	byLength := s.byLength()
	for k := range byLength {
		byLength[k] = -byLength[k]
	}
	set(cols.String, byLength)
	return nil
}
