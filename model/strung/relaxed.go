package strung

// relaxed is the unstrung limb at the stations, and its derivatives.
type relaxed struct {
	version uint64
	line    []float64
	// change is by station, then by parameter of this limb; see sensitivity.
	change []float64
	// nock is the change of the nock angle, and none that of the tension, by parameter.
	nock, none []float64
}

func (r *relaxed) row(station, parameters int) []float64 {
	return r.change[station*parameters : (station+1)*parameters]
}

// relax finds the unstrung limb i at the stations, once for each bow, by its trace and sensitivity.
func (p *placed) relax(s *Solver, i int) {
	if p.relaxed.version == s.version {
		return
	}
	c, tr, v := &s.chains[i], &s.traces[i], &s.sens[i]
	angle := 0.0
	for j := range c.turns {
		angle += c.turns[j].rest
	}
	c.trace(angle, 0, tr)
	v.find(c, tr, 0, p.needed)
	root := len(c.node) - 1
	n := 2 * v.knots
	r := &p.relaxed
	r.line = sized(r.line, len(p.at))
	r.change = sized(r.change, len(p.at)*n)
	// The slope at the root stays nothing, so the angle at the nock makes up for whatever would change it.
	r.nock, r.none = sized(r.nock, n), zeroed(r.none, n)
	for q, change := range v.row(root, byPhi) {
		r.nock[q] = -change
	}
	for k := range p.at {
		sp := &p.at[k]
		left, right := sp.node, sp.node+1
		r.line[k] = tr.d[root] - sp.of(tr.d, tr.sin)
		b := blend{node: left}
		b.add(-1, &sp.value, byD, tr.cos[left], tr.cos[right])
		b.root[byD] = 1
		v.write(&b, r.row(k, n), 0, r.nock, r.none)
	}
	r.version = s.version
}
