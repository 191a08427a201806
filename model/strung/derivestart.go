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
	b := &s.startChange
	// Both ways to fix the string have the same equations but for the last. The one that holds gives the
	// changes of the unknowns, the other then the change of its value.
	t := target{closing: bracedLength, value: s.start.length}
	other := target{closing: bracedHeight, value: s.start.brace}
	if s.string.byBrace {
		t, other = other, t
	}
	s.close(other)
	otherRow := s.sys.a[2]
	s.close(t)
	if !s.sys.factor() {
		return &Error{Err: ErrNotConverged}
	}
	u, l := &s.ends[0], &s.ends[1]
	width, rise := u.x+l.x+s.handle, l.y-u.y
	slope := u.sin / u.cos
	steep := (u.x + s.handle/2) / (u.cos * u.cos)
	along, turn := -(rise*u.sin + width*u.cos), rise*u.cos-width*u.sin
	col := 0
	set := func(rhs [4]float64, height, length float64) {
		held, free := length, height
		if s.string.byBrace {
			held, free = height, length
		}
		for k := range rhs {
			rhs[k] = -rhs[k]
		}
		rhs[2] = -held / s.size
		x := s.sys.solve(rhs)
		b.changes.set(col, x, s.pull)
		change := free
		for k, by := range otherRow {
			change += s.size * by * x[k]
		}
		if s.string.byBrace {
			b.changes.length[col] = change
		} else {
			b.brace[col] = change
		}
	}
	for i := range s.ends {
		o, v := &s.ends[i], &s.sens[i]
		for p := range 2 * v.knots {
			phi, x, y := o.direct(v, p)
			if i == 0 {
				set([4]float64{phi, (-y*u.cos - x*u.sin + along*phi) / s.size},
					y+x*slope+steep*phi, x*u.cos-y*u.sin+turn*phi)
			} else {
				set([4]float64{phi, (y*u.cos - x*u.sin) / s.size}, 0, x*u.cos+y*u.sin)
			}
			b.energy[col] = v.energy[p]
			col++
		}
	}
	if s.string.byBrace {
		set([4]float64{}, -1, 0)
		b.brace[col] = 1
	} else {
		set([4]float64{}, 0, -1)
		b.changes.length[col] = 1
	}
	for col := range b.energy {
		b.energy[col] -= s.ends[0].tension * b.changes.length[col]
	}
	return nil
}

// deriveSlack is deriveStart for a long string that is just taut: no tension, limbs at rest.
func (s *Solver) deriveSlack() error {
	b, cols := &s.startChange, s.columns()
	b.changes.length[cols.String] = 1
	// The equations of the drawn bow with both tensions held at nothing leave the nock angles and the draw to
	// be found from the first three.
	u, l := &s.ends[0], &s.ends[1]
	u.reach(s.start.length / 2)
	l.reach(s.start.length / 2)
	s.sys.a = [4][4]float64{
		{u.hookYA / s.size, -1, 0, 0},
		{0, -1, l.hookYA / s.size, 0},
		{u.hookXA / s.size, 0, l.hookXA / s.size, 0},
		{0, 0, 0, 1},
	}
	if !s.sys.factor() {
		return &Error{Err: ErrNotConverged}
	}
	set := func(col int, rhs [4]float64) {
		for k := range rhs {
			rhs[k] /= -s.size
		}
		x := s.sys.solve(rhs)
		b.changes.phi[0][col], b.changes.phi[1][col] = x[0], x[2]
	}
	half := s.start.length / 2
	col := 0
	for i := range s.ends {
		o, v := &s.ends[i], &s.sens[i]
		for p := range 2 * v.knots {
			phi, x, y := o.direct(v, p)
			var rhs [4]float64
			rhs[i] = y + half*o.cos*phi
			rhs[2] = x + half*o.sin*phi
			set(col, rhs)
			col++
		}
	}
	set(col, [4]float64{u.sin / 2, l.sin / 2, -(u.cos + l.cos) / 2})
	return nil
}
