package strung

import "slices"

// A spot is a place between two nodes. Quantities there follow from their values and slopes at both nodes by
// Hermite's cubic, whose error falls with the fourth power of the segment.
type spot struct {
	mix
	node  int        // the node on the nock side
	value [4]float64 // weights of value and slope at node, value and slope at node+1
}

// of interpolates a quantity at the spot from its values and slopes at the nodes.
func (sp *spot) of(value, slope []float64) float64 {
	n := sp.node
	return sp.value[0]*value[n] + sp.value[1]*slope[n] + sp.value[2]*value[n+1] + sp.value[3]*slope[n+1]
}

// spot finds the place s on a chain. A place on the handle is at the root, plus a straight run.
func (c *chain) spot(s float64) spot {
	place := min(max(s, 0), c.limb.Length)
	sigma := c.limb.Length - place
	n, k := before(c.node, sigma), before(c.limb.At, place)
	h := c.node[n+1] - c.node[n]
	t := (sigma - c.node[n]) / h
	u := 1 - t
	at := c.limb.At
	return spot{
		mix:  c.between(k, min(max((place-at[k])/(at[k+1]-at[k]), 0), 1)),
		node: n,
		value: [4]float64{u * u * (1 + 2*t), u * u * t * h, t * t * (1 + 2*u),
			-t*t*u*h + max(-s, 0)},
	}
}

// before is the last of rising places, but one, that does not lie beyond v.
func before(places []float64, v float64) int {
	i, found := slices.BinarySearch(places, v)
	if !found {
		i--
	}
	return min(max(i, 0), len(places)-2)
}

// A blend is a quantity whose change is a sum of those of the shape at two nodes and at the root.
type blend struct {
	node              int
	left, right, root change // shares of the changes at node, at node+1 and at the root
}

// spotted is the blend of share times a quantity at a spot that follows Hermite's cubic from values of kind
// value, whose slope changes with the angle by turn at both nodes.
func spotted(sp *spot, share float64, value int, turnLeft, turnRight float64) blend {
	b := blend{node: sp.node}
	b.left[value] = share * sp.value[0]
	b.left[byPhi] = share * sp.value[1] * turnLeft
	b.right[value] = share * sp.value[2]
	b.right[byPhi] = share * sp.value[3] * turnRight
	return b
}

// add adds the change of a blend by all parameters to row. The columns of this limb begin at first; by are
// the changes of the unknowns, of which those of limb i count.
func (v *sensitivity) add(b *blend, row []float64, first, i int, by []unknowns) {
	byAngle, byTension := 0.0, 0.0
	own := row[first : first+2*v.knots]
	for _, part := range [...]struct {
		shares *change
		node   int
	}{{&b.left, b.node}, {&b.right, b.node + 1}, {&b.root, len(v.angle) - 1}} {
		for k, share := range part.shares {
			if share == 0 {
				continue
			}
			byAngle += share * v.angle[part.node][k]
			byTension += share * v.tension[part.node][k]
			for p, change := range v.row(part.node, k) {
				own[p] += share * change
			}
		}
	}
	for p := range row {
		row[p] += byAngle*by[p][i].phi + byTension*by[p][i].tension
	}
}
