package strung

import "math"

// A trace is a limb's shape along its string, from the nock (0) to the root, at nodes and hinges.
type trace struct {
	// At each node: the angle to the string, the distances square to and along the string, the integral of
	// the angle along the limb, and sine and cosine of the angle.
	phi, d, e, area, sin, cos []float64
	// hinge is d at each hinge; runSin and runCos belong to the run before it.
	hinge, runSin, runCos []float64
	// energy is ½ Σ M²/B over the hinges (force·length).
	energy float64
	// sharpest is the largest turn within one segment (rad), and its node.
	sharpest     float64
	sharpestNode int
}

// trace walks the chain as ends does and records every node and hinge.
func (c *chain) trace(phi, tension float64, t *trace) {
	for _, p := range [...]*[]float64{&t.phi, &t.d, &t.e, &t.area, &t.sin, &t.cos} {
		*p = sized(*p, len(c.node))
	}
	for _, p := range [...]*[]float64{&t.hinge, &t.runSin, &t.runCos} {
		*p = sized(*p, len(c.turns))
	}
	t.energy, t.sharpest, t.sharpestNode = 0, 0, 0
	var d, e, area float64
	run, root, hinge := runs(), len(c.node)-1, 0
	sin, cos := math.Sincos(phi)
	for n := range c.node {
		t.phi[n], t.d[n], t.e[n], t.area[n], t.sin[n], t.cos[n] = phi, d, e, area, sin, cos
		if n == root {
			break
		}
		length := c.node[n+1] - c.node[n]
		for j := range run {
			step := run[j] * length
			d += step * sin
			e += step * cos
			area += step * phi
			if j == kicksPerSegment {
				break
			}
			t.hinge[hinge], t.runSin[hinge], t.runCos[hinge] = d, sin, cos
			k := &c.turns[hinge]
			moment := tension * d
			phi -= k.rest + k.give*moment
			t.energy += k.give * moment * moment / 2
			sin, cos = math.Sincos(phi)
			hinge++
		}
		if a := math.Abs(phi - t.phi[n]); !(a <= t.sharpest) {
			t.sharpest, t.sharpestNode = a, n
		}
	}
}
