package strung

import "gonum.org/v1/gonum/mat"

// assemble turns the changes of the unknowns into those of all that is asked for.
func (s *Solver) assemble(sol *Solution, ch *changes, d *Derivatives) {
	n := d.Columns.Len
	b := &s.startChange
	for _, v := range [...]*[]float64{&d.Force, &d.Work, &d.StringLength, &d.Brace} {
		*v = zeroed(*v, n)
	}
	copy(d.StringLength, ch.length)
	copy(d.Brace, b.brace)
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
			angle := o.phiA*ch.phi[i][p] + o.phiT*ch.tension[i][p]
			if q := p - first[i]; q >= 0 && q < 2*v.knots {
				angle += v.row(len(v.angle)-1, byPhi)[q]
				d.Work[p] += v.energy[q]
			}
			d.Force[p] += ch.tension[i][p]*o.sin + o.tension*o.cos*angle
		}
	}
}

// A blend is a quantity whose change is a sum of those of the shape at two nodes and at the root.
type blend struct {
	node  int
	left  [shapeValues]float64 // shares of the change at node
	right [shapeValues]float64 // at node+1
	root  [shapeValues]float64 // at the root
}

// add adds share times a quantity at a spot that follows Hermite's cubic from values of kind value, whose
// slope changes with the angle by turn at both nodes.
func (b *blend) add(share float64, w *[4]float64, value int, turnLeft, turnRight float64) {
	b.left[value] += share * w[0]
	b.left[byPhi] += share * w[1] * turnLeft
	b.right[value] += share * w[2]
	b.right[byPhi] += share * w[3] * turnRight
}

// write writes the change of a blend by all parameters into row.
func (v *sensitivity) write(b *blend, row []float64, first int, phi, tension []float64) {
	root := len(v.angle) - 1
	byAngle, byTension := 0.0, 0.0
	for k := range shapeValues {
		byAngle += b.left[k]*v.angle[b.node][k] + b.right[k]*v.angle[b.node+1][k] + b.root[k]*v.angle[root][k]
		byTension += b.left[k]*v.tension[b.node][k] + b.right[k]*v.tension[b.node+1][k] +
			b.root[k]*v.tension[root][k]
	}
	for p := range row {
		row[p] = byAngle*phi[p] + byTension*tension[p]
	}
	own := row[first : first+2*v.knots]
	for k := range shapeValues {
		for _, part := range [...]struct {
			share float64
			node  int
		}{{b.left[k], b.node}, {b.right[k], b.node + 1}, {b.root[k], root}} {
			if part.share == 0 {
				continue
			}
			for p, change := range v.row(part.node, k) {
				own[p] += part.share * change
			}
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
	out.Block = table(out.Block, len(pl.blocks), n)
	for r := range pl.at {
		sp := &pl.at[r]
		left, right := sp.node, sp.node+1
		along, across := o.e-sp.of(tr.e, tr.cos), o.d-sp.of(tr.d, tr.sin)
		// The station's place, turned by the string's angle into the limb's frame.
		b := blend{node: left}
		b.add(o.sin, &sp.value, byE, -tr.sin[left], -tr.sin[right])
		b.add(-o.cos, &sp.value, byD, tr.cos[left], tr.cos[right])
		b.root[byE], b.root[byD], b.root[byPhi] = -o.sin, o.cos, -across*o.sin-along*o.cos
		v.write(&b, out.Line.RawRowView(r), first, phi, tension)

		b = blend{node: left}
		b.add(1, &sp.value, byD, tr.cos[left], tr.cos[right])
		gap := out.Gap.RawRowView(r)
		v.write(&b, gap, first, phi, tension)

		d := o.d - across
		bend := out.Bend.RawRowView(r)
		for p := range bend {
			bend[p] = (tension[p]*d + o.tension*gap[p]) / sp.stiff
		}
		bend[first+sp.knot] -= o.tension * d / sp.stiff * sp.rootB
		bend[first+sp.knot+1] -= o.tension * d / sp.stiff * sp.nockB

		rest := out.Relaxed.RawRowView(r)
		clear(rest)
		copy(rest[first:], pl.relaxed.row(r, 2*v.knots))
	}
	for r := range pl.blocks {
		row := out.Block.RawRowView(r)
		clear(row)
		for k, share := range [...]float64{1, -0.5, -0.5} {
			sp := &pl.blocks[r][k]
			b := blend{node: sp.node}
			b.add(share, &sp.value, byArea, 1, 1)
			s.spare = sized(s.spare, n)
			v.write(&b, s.spare, first, phi, tension)
			for p, change := range s.spare {
				row[p] += change
			}
		}
	}
}

// table is a matrix of the given shape, reusing m, or nil for no rows.
func table(m *mat.Dense, rows, columns int) *mat.Dense {
	if rows == 0 {
		return nil
	}
	if m != nil {
		if r, c := m.Dims(); r == rows && c == columns {
			return m
		}
	}
	return mat.NewDense(rows, columns, nil)
}
