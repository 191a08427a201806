package strung

// deriveStart finds how the start depends on the parameters, once for each bow.
func (s *Solver) deriveStart() error {
	b, cols := &s.startChange, s.columns()
	if b.version == s.version {
		return nil
	}
	b.x, b.length = zeroed(b.x, cols.Len), zeroed(b.length, cols.Len)
	b.brace, b.energy = zeroed(b.brace, cols.Len), zeroed(b.energy, cols.Len)
	if !s.start.braced {
		b.length[cols.String] = 1
		b.version = s.version
		return nil
	}
	s.differentiate(s.start.x, false)
	// Both ways to fix the string have the same equations but for one. That which holds gives the changes of
	// the unknowns, the other then the change of its value.
	held, free := target{closing: bracedLength, value: s.start.length},
		target{closing: bracedHeight, value: s.start.brace}
	fixed, change := b.length, b.brace
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
		step := s.sys.solve(rhs)
		b.x[col] = s.apply(unknowns{}, step, 1)
		for k, by := range freeRow {
			change[col] += s.size * by * step[k]
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
		b.energy[col] -= s.ends[0].tension * b.length[col]
	}
	b.version = s.version
	return nil
}
