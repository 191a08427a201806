package strung

import "gonum.org/v1/gonum/mat"

// Derive gives the derivatives of a solution of this bow, and refuses one of another. Once d has been used
// for a bow of this size it allocates nothing. The error is [ErrNotConverged] where there is no derivative:
// at a limit of equilibrium, and where a long string is just taut.
func (s *Solver) Derive(sol *Solution, d *Derivatives) error {
	if err := s.relax(sol); err != nil {
		return err
	}
	if sol.slack && !sol.Braced {
		return &Error{Err: ErrNotConverged}
	}
	if err := s.deriveStart(); err != nil {
		return err
	}
	d.Columns = s.columns()
	s.differentiate(sol.x, true)
	by := s.startChange.x
	if !sol.slack {
		if err := s.deriveDrawn(sol); err != nil {
			return err
		}
		by = s.drawnChange
	}
	s.assemble(sol, by, d)
	return nil
}

// deriveDrawn finds the changes of the unknowns of a drawn bow by the theorem of implicit functions, those of
// the length of its string being known.
func (s *Solver) deriveDrawn(sol *Solution) error {
	s.close(target{closing: drawn, value: sol.Draw, length: sol.StringLength})
	if !s.sys.factor() {
		return &Error{Err: ErrNotConverged}
	}
	u, l := &s.ends[0], &s.ends[1]
	byLength := [4]float64{u.sin / 2 / s.size, l.sin / 2 / s.size, -(u.cos + l.cos) / 2 / s.size}
	cols := s.columns()
	s.drawnChange = sized(s.drawnChange, cols.Len)
	set := func(col int, rhs [4]float64) {
		for k := range rhs {
			rhs[k] -= s.startChange.length[col] * byLength[k]
		}
		s.drawnChange[col] = s.apply(unknowns{}, s.sys.solve(rhs), 1)
	}
	s.eachKnot(func(col, _, _ int, rhs [4]float64, _ outcome) { set(col, rhs) })
	set(cols.String, [4]float64{})
	set(cols.Draw, [4]float64{1 / s.size, 1 / s.size})
	return nil
}

// assemble turns by, the changes of the unknowns, into those of all that is asked for.
func (s *Solver) assemble(sol *Solution, by []unknowns, d *Derivatives) {
	n := d.Columns.Len
	b := &s.startChange
	d.Force, d.Work = zeroed(d.Force, n), zeroed(d.Work, n)
	d.StringLength = append(d.StringLength[:0], b.length...)
	d.Brace = append(d.Brace[:0], b.brace...)
	first := d.Columns.Stiffness
	for i := range d.Limbs {
		s.assembleStations(i, first[i], by, &d.Limbs[i])
	}
	if sol.slack {
		return
	}
	// A held shape stores what its own stiffness says; the rest hook and string have put in.
	for p := range n {
		d.Work[p] = -(s.ends[0].tension+s.ends[1].tension)/2*b.length[p] - b.energy[p]
	}
	d.Work[d.Columns.Draw] += sol.Force
	for i := range s.ends {
		o, v := &s.ends[i], &s.sens[i]
		for p := range n {
			angle := o.byA[0]*by[p][i].phi + o.byT[0]*by[p][i].tension
			if q := p - first[i]; q >= 0 && q < 2*v.knots {
				angle += v.row(len(v.angle)-1, byPhi)[q]
				d.Work[p] += v.energy[q]
			}
			d.Force[p] += by[p][i].tension*o.sin + o.tension*o.cos*angle
		}
	}
}

// assembleStations does the stations of limb i.
func (s *Solver) assembleStations(i, first int, by []unknowns, out *limbDerivatives) {
	o, v, tr, pl := &s.ends[i], &s.sens[i], &s.traces[i], &s.places[i]
	for _, m := range [...]**mat.Dense{&out.Line, &out.Bend, &out.Gap, &out.Relaxed} {
		*m = table(*m, len(pl.at), len(by))
	}
	for r := range pl.at {
		sp := &pl.at[r]
		sinLeft, sinRight := tr.sin[sp.node], tr.sin[sp.node+1]
		cosLeft, cosRight := tr.cos[sp.node], tr.cos[sp.node+1]
		gap := out.Gap.RawRowView(r)
		across := spotted(sp, 1, byD, cosLeft, cosRight)
		v.add(&across, gap, first, i, by)

		// The station's place, seen from the root and turned by the string's angle into the limb's frame.
		d := sp.of(tr.d, tr.sin)
		line := out.Line.RawRowView(r)
		along := spotted(sp, o.sin, byE, -sinLeft, -sinRight)
		along.root[byE], along.root[byD] = -o.sin, o.cos
		along.root[byPhi] = -(o.d-d)*o.sin - (o.e-sp.of(tr.e, tr.cos))*o.cos
		v.add(&along, line, first, i, by)

		bend := out.Bend.RawRowView(r)
		for p := range bend {
			line[p] -= o.cos * gap[p]
			bend[p] = (by[p][i].tension*d + o.tension*gap[p]) / sp.stiff
		}
		bend[first+sp.knot] -= o.tension * d / sp.stiff * sp.rootB
		bend[first+sp.knot+1] -= o.tension * d / sp.stiff * sp.nockB
		copy(out.Relaxed.RawRowView(r)[first:], pl.relaxedBy[r*2*v.knots:(r+1)*2*v.knots])
	}
	out.Block = table(out.Block, len(pl.blocks), len(by))
	for r := range pl.blocks {
		for k, share := range [...]float64{1, -0.5, -0.5} {
			area := spotted(&pl.blocks[r][k], share, byArea, 1, 1)
			v.add(&area, out.Block.RawRowView(r), first, i, by)
		}
	}
}

// table is a matrix of zeros of the given shape, reusing m, or nil for no rows.
func table(m *mat.Dense, rows, columns int) *mat.Dense {
	if rows == 0 {
		return nil
	}
	if m == nil {
		m = new(mat.Dense)
	}
	m.Reset()
	m.ReuseAs(rows, columns)
	return m
}

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
