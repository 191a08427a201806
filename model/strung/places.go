package strung

import "fmt"

// Places are the stations of the upper and of the lower limb at which shapes and readings are wanted.
type Places [2]LimbPlaces

// LimbPlaces are the stations of one limb, as distances from its root along the limb (length), in any order.
type LimbPlaces struct {
	// At are the stations for shape, line, gap and relaxed readings.
	At []float64
	// BlockAt are the stations of the middle of a straight block laid along the belly, and Block is its
	// length. It must end before the nock; the handle is taken as straight.
	BlockAt []float64
	Block   float64
}

// check refuses stations that are not on a limb of the given length.
func (p LimbPlaces) check(side string, length float64) error {
	for i, s := range p.At {
		if !(s >= 0 && s <= length*(1+slight)) {
			return inputError(fmt.Sprintf("%s.places.at[%d]", side, i), "must be on the limb, 0 to %v, not %v",
				length, s)
		}
	}
	if len(p.BlockAt) > 0 && !(p.Block > 0 && p.Block <= length) {
		return inputError(side+".places.block", "must be a length up to the limb's, not %v", p.Block)
	}
	for i, s := range p.BlockAt {
		if !(s >= 0 && s+p.Block/2 <= length*(1+slight)) {
			return inputError(fmt.Sprintf("%s.places.block_at[%d]", side, i),
				"must leave the whole block on the limb of %v, not %v", length, s)
		}
	}
	return nil
}

// A placed is the stations of one limb on its grid.
type placed struct {
	want   LimbPlaces
	at     []spot
	blocks [][3]spot // the middle of the block, its end towards the nock, its end towards the root
	needed []bool    // by node: whether any station lies next to it

	// relaxed is the unstrung limb's distance from the line at the stations, for the version of the bow given,
	// and relaxedBy its change, by station and then by parameter of this limb; see sensitivity.
	version            uint64
	relaxed, relaxedBy []float64
	nock               []unknowns // the change of the nock angle of the unstrung limb, by parameter
}

// lay finds the stations on the grid of a chain.
func (p *placed) lay(c *chain) {
	p.version = 0
	p.needed = zeroed(p.needed, len(c.node))
	p.at, p.blocks = p.at[:0], p.blocks[:0]
	find := func(s float64) spot {
		sp := c.spot(s)
		p.needed[sp.node], p.needed[sp.node+1] = true, true
		return sp
	}
	for _, s := range p.want.At {
		p.at = append(p.at, find(s))
	}
	for _, s := range p.want.BlockAt {
		half := p.want.Block / 2
		p.blocks = append(p.blocks, [3]spot{find(s), find(s + half), find(s - half)})
	}
}

// relax finds the unstrung limb at the stations, once for each bow, with the limb's trace and sensitivity.
func (p *placed) relax(version uint64, c *chain, tr *trace, v *sensitivity) {
	if p.version == version {
		return
	}
	p.version = version
	c.trace(c.restAngle(), 0, tr)
	v.find(c, tr, 0, p.needed)
	root, n := len(c.node)-1, 2*v.knots
	p.relaxed, p.relaxedBy = sized(p.relaxed, len(p.at)), zeroed(p.relaxedBy, len(p.at)*n)
	// The slope at the root stays nothing, so the angle at the nock makes up for whatever would change it.
	p.nock = zeroed(p.nock, n)
	for q, change := range v.row(root, byPhi) {
		p.nock[q][0].phi = -change
	}
	for k := range p.at {
		sp := &p.at[k]
		p.relaxed[k] = tr.d[root] - sp.of(tr.d, tr.sin)
		b := spotted(sp, -1, byD, tr.cos[sp.node], tr.cos[sp.node+1])
		b.root[byD] = 1
		v.add(&b, p.relaxedBy[k*n:(k+1)*n], 0, 0, p.nock)
	}
}
