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
func (p LimbPlaces) check(side Side, length float64) error {
	for i, s := range p.At {
		if !(s >= 0 && s <= length*(1+slight)) {
			return inputError(fmt.Sprintf("%s.places.at[%d]", side, i), "must be on the limb, 0 to %v, not %v",
				length, s)
		}
	}
	if len(p.BlockAt) == 0 {
		return nil
	}
	if !(p.Block > 0 && p.Block <= length) {
		return inputError(fmt.Sprintf("%s.places.block", side), "must be a length up to the limb's, not %v",
			p.Block)
	}
	for i, s := range p.BlockAt {
		if !(s >= 0 && s+p.Block/2 <= length*(1+slight)) {
			return inputError(fmt.Sprintf("%s.places.block_at[%d]", side, i),
				"must leave the whole block on the limb of %v, not %v", length, s)
		}
	}
	return nil
}

// SetPlaces sets the stations; they are copied. Errors are [ErrInput].
func (s *Solver) SetPlaces(p Places) error {
	for i, want := range p {
		if err := want.check(Upper+Side(i), s.chains[i].limb.Length); err != nil {
			return err
		}
	}
	for i, want := range p {
		at := &s.places[i]
		at.want.At = append(at.want.At[:0], want.At...)
		at.want.BlockAt = append(at.want.BlockAt[:0], want.BlockAt...)
		at.want.Block = want.Block
		at.lay(&s.chains[i])
	}
	return nil
}

// A placed is the stations of one limb on its grid.
type placed struct {
	want   LimbPlaces
	at     []spot
	blocks [][3]spot // the middle of the block, its end towards the nock, its end towards the root
	needed []bool    // by node: whether any station lies next to it
	// relaxed is the unstrung limb at the stations, for the version of the bow given.
	relaxed relaxed
}

// A spot is a place between two nodes. Quantities there follow from their values and slopes at both nodes by
// Hermite's cubic, whose error falls with the fourth power of the segment.
type spot struct {
	node  int        // the node on the nock side
	value [4]float64 // weights of value and slope at node, value and slope at node+1
	knot  int        // the knot on the root side
	nockK float64    // share of the knot on the nock side in rest bend
	rootB float64    // d ln B / d ln B of the knots on the root and on the nock side
	nockB float64
	stiff float64 // B at the spot
}

// lay finds the stations on the grid of a chain.
func (p *placed) lay(c *chain) {
	p.needed = p.needed[:0]
	for range c.node {
		p.needed = append(p.needed, false)
	}
	p.at, p.blocks = p.at[:0], p.blocks[:0]
	for _, s := range p.want.At {
		p.at = append(p.at, p.spot(c, s))
	}
	for _, s := range p.want.BlockAt {
		half := p.want.Block / 2
		p.blocks = append(p.blocks, [3]spot{p.spot(c, s), p.spot(c, s+half), p.spot(c, s-half)})
	}
	p.relaxed.version = 0
}

// spot finds the place s on a chain. A place on the handle is at the root, plus a straight run.
func (p *placed) spot(c *chain, s float64) spot {
	sigma := c.limb.Length - s
	past := max(sigma-c.limb.Length, 0)
	sigma = min(max(sigma, 0), c.limb.Length)
	low, high := 0, len(c.node)-2
	for low < high {
		mid := (low + high + 1) / 2
		if c.node[mid] <= sigma {
			low = mid
		} else {
			high = mid - 1
		}
	}
	h := c.node[low+1] - c.node[low]
	t := (sigma - c.node[low]) / h
	u := 1 - t
	sp := spot{
		node:  low,
		value: [4]float64{u * u * (1 + 2*t), u * u * t * h, t * t * (1 + 2*u), -t * t * u * h},
	}
	sp.value[3] += past
	p.needed[low], p.needed[low+1] = true, true
	// The knots around it.
	at, place := c.limb.At, c.limb.Length-sigma
	k := 0
	for k < len(at)-2 && at[k+1] <= place {
		k++
	}
	f := min(max((place-at[k])/(at[k+1]-at[k]), 0), 1)
	root, nock := c.limb.Stiffness[k], c.limb.Stiffness[k+1]
	sp.knot, sp.nockK = k, f
	sp.stiff = between(c.profile, root, nock, f)
	sp.rootB, sp.nockB = 1-f, f
	if c.profile == Linear {
		sp.rootB, sp.nockB = (1-f)*root/sp.stiff, f*nock/sp.stiff
	}
	return sp
}
