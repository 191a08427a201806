package strung

import "math"

// A trace is a limb's shape along its string, from the nock (0) to the root, at nodes and hinges.
type trace struct {
	// At each node: the angle to the string, the distances square to and along the string, and the integral
	// of the angle along the limb.
	phi, d, e, area []float64
	// sin and cos of phi at each node.
	sin, cos []float64
	// hinge is d at each hinge; runSin and runCos belong to the run before it.
	hinge, runSin, runCos []float64
	// energy is ½ Σ M²/B over the hinges (force·length).
	energy float64
	// sharpest is the largest turn within one segment (rad), and its node.
	sharpest     float64
	sharpestNode int
}

// resize makes room for a chain.
func (t *trace) resize(nodes, hinges int) {
	for _, p := range [...]*[]float64{&t.phi, &t.d, &t.e, &t.area, &t.sin, &t.cos} {
		*p = sized(*p, nodes)
	}
	for _, p := range [...]*[]float64{&t.hinge, &t.runSin, &t.runCos} {
		*p = sized(*p, hinges)
	}
}

// sized is a slice of n values, reusing the room of v.
func sized(v []float64, n int) []float64 {
	if cap(v) < n {
		return make([]float64, n)
	}
	return v[:n]
}

// trace walks the chain as ends does and records every node and hinge.
func (c *chain) trace(phi, tension float64, t *trace) {
	t.resize(len(c.node), len(c.turns))
	var d, e, area, energy float64
	run := runs()
	sin, cos := math.Sincos(phi)
	t.sharpest, t.sharpestNode = 0, 0
	hinge := 0
	for n := 0; n < len(c.node)-1; n++ {
		t.phi[n], t.d[n], t.e[n], t.area[n], t.sin[n], t.cos[n] = phi, d, e, area, sin, cos
		length := c.node[n+1] - c.node[n]
		for j := range kicksPerSegment {
			step := run[j] * length
			d += step * sin
			e += step * cos
			area += step * phi
			t.hinge[hinge], t.runSin[hinge], t.runCos[hinge] = d, sin, cos
			k := &c.turns[hinge]
			moment := tension * d
			phi -= k.rest + k.give*moment
			energy += k.give * moment * moment
			sin, cos = math.Sincos(phi)
			hinge++
		}
		step := run[kicksPerSegment] * length
		d += step * sin
		e += step * cos
		area += step * phi
		if a := math.Abs(phi - t.phi[n]); !(a <= t.sharpest) {
			t.sharpest, t.sharpestNode = a, n
		}
	}
	n := len(c.node) - 1
	t.phi[n], t.d[n], t.e[n], t.area[n], t.sin[n], t.cos[n] = phi, d, e, area, sin, cos
	t.energy = energy / 2
}

// at gives the place s along the limb of node n.
func (c *chain) at(n int) float64 {
	if n == len(c.node)-1 {
		return 0
	}
	return c.limb.Length - c.node[n]
}
