package strung

import "gonum.org/v1/gonum/mat"

// assemble turns the changes of the unknowns into those of all that is asked for.
func (s *Solver) assemble(sol *Solution, ch *changes, d *Derivatives) {
	n := d.Columns.Len
	b := &s.startChange
	d.Force, d.Work = zeroed(d.Force, n), zeroed(d.Work, n)
	d.StringLength = append(d.StringLength[:0], ch.length...)
	d.Brace = append(d.Brace[:0], b.brace...)
	first := d.Columns.Stiffness
	for i := range d.Limbs {
		s.assembleStations(i, first[i], n, ch, &d.Limbs[i])
	}
	if sol.slack {
		return
	}
	// A held shape stores what its own stiffness says; the rest hook and string have put in.
	for p := range n {
		d.Work[p] = -(s.ends[0].tension+s.ends[1].tension)/2*ch.length[p] - b.energy[p]
	}
	d.Work[d.Columns.Draw] += sol.Force
	for i := range s.ends {
		o, v := &s.ends[i], &s.sens[i]
		for p := range n {
			angle := o.byA[0]*ch.phi[i][p] + o.byT[0]*ch.tension[i][p]
			if q := p - first[i]; q >= 0 && q < 2*v.knots {
				angle += v.row(len(v.angle)-1, byPhi)[q]
				d.Work[p] += v.energy[q]
			}
			d.Force[p] += ch.tension[i][p]*o.sin + o.tension*o.cos*angle
		}
	}
}

// assembleStations does the stations of limb i.
func (s *Solver) assembleStations(i, first, n int, ch *changes, out *LimbDerivatives) {
	o, v, tr, pl := &s.ends[i], &s.sens[i], &s.traces[i], &s.places[i]
	phi, tension := ch.phi[i], ch.tension[i]
	for _, m := range [...]**mat.Dense{&out.Line, &out.Bend, &out.Gap, &out.Relaxed} {
		*m = table(*m, len(pl.at), n)
	}
	for r := range pl.at {
		sp := &pl.at[r]
		sinLeft, sinRight := tr.sin[sp.node], tr.sin[sp.node+1]
		cosLeft, cosRight := tr.cos[sp.node], tr.cos[sp.node+1]
		gap := out.Gap.RawRowView(r)
		across := spotted(sp, 1, byD, cosLeft, cosRight)
		v.add(&across, gap, first, phi, tension)

		// The station's place, seen from the root and turned by the string's angle into the limb's frame.
		d := sp.of(tr.d, tr.sin)
		line := out.Line.RawRowView(r)
		along := spotted(sp, o.sin, byE, -sinLeft, -sinRight)
		along.root[byE], along.root[byD] = -o.sin, o.cos
		along.root[byPhi] = -(o.d-d)*o.sin - (o.e-sp.of(tr.e, tr.cos))*o.cos
		v.add(&along, line, first, phi, tension)

		bend := out.Bend.RawRowView(r)
		for p := range bend {
			line[p] -= o.cos * gap[p]
			bend[p] = (tension[p]*d + o.tension*gap[p]) / sp.stiff
		}
		bend[first+sp.knot] -= o.tension * d / sp.stiff * sp.rootB
		bend[first+sp.knot+1] -= o.tension * d / sp.stiff * sp.nockB
		copy(out.Relaxed.RawRowView(r)[first:], pl.relaxedBy[r*2*v.knots:(r+1)*2*v.knots])
	}
	out.Block = table(out.Block, len(pl.blocks), n)
	for r := range pl.blocks {
		for k, share := range [...]float64{1, -0.5, -0.5} {
			area := spotted(&pl.blocks[r][k], share, byArea, 1, 1)
			v.add(&area, out.Block.RawRowView(r), first, phi, tension)
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
