package strung

// What a limb's shape depends on, in the order in which the values are kept.
const (
	byPhi  = iota // angle to the string
	byD           // distance square to it
	byE           // distance along it
	byArea        // integral of the angle
	shapeValues
)

// A change is a small change of the shape at one place.
type change [shapeValues]float64

// straight carries a change along a straight run.
func (c *change) straight(sin, cos, step float64) {
	turn := c[byPhi] * step
	c[byD] += cos * turn
	c[byE] -= sin * turn
	c[byArea] += turn
}

// A sensitivity holds how the shape of one limb at its nodes depends on the angle at the nock, on the
// tension, and directly on the knots, all else held.
//
// Small changes of a shape obey linear equations, so a change made at one hinge travels on towards the root
// as a sum of two basic changes, one of the angle and one of the distance at the nock. It is enough to follow
// these two and to add up each parameter's part in them; since the walk preserves area in (φ, d), that part
// needs no division.
type sensitivity struct {
	knots int
	// angle and tension are by node: the change with the angle at the nock, and with the tension.
	angle, tension []change
	// direct is by node, then by shape value, then by parameter: the logarithm of stiffness at the knots from
	// the root on, then rest bend at the knots. Only nodes asked for are filled.
	direct []float64
	// energy is by parameter: the change of the stored energy at a held shape.
	energy []float64
	// taken is the part that each parameter has in the basic changes so far.
	taken []change
}

// row is the direct change of one shape value at a node, by parameter.
func (v *sensitivity) row(node, value int) []float64 {
	n := 2 * v.knots
	i := (node*shapeValues + value) * n
	return v.direct[i : i+n : i+n]
}

// find walks a traced limb once more. A nil needed asks for the root only.
func (v *sensitivity) find(c *chain, tr *trace, tension float64, needed []bool) {
	nodes := len(c.node)
	v.knots = len(c.limb.At)
	v.direct = sized(v.direct, nodes*shapeValues*2*v.knots)
	v.energy, v.taken = zeroed(v.energy, 2*v.knots), zeroed(v.taken, 2*v.knots)
	v.angle, v.tension = sized(v.angle, nodes), sized(v.tension, nodes)
	run := runs()
	a, b, t := change{byPhi: 1}, change{byD: 1}, change{}
	hinge := 0
	for n := range nodes - 1 {
		v.angle[n], v.tension[n] = a, t
		if needed != nil && needed[n] {
			v.keep(n, &a, &b)
		}
		length := c.node[n+1] - c.node[n]
		for j := range kicksPerSegment {
			sin, cos, step := tr.runSin[hinge], tr.runCos[hinge], run[j]*length
			a.straight(sin, cos, step)
			b.straight(sin, cos, step)
			t.straight(sin, cos, step)
			give, d := c.turns[hinge].give, tr.hinge[hinge]
			a[byPhi] -= give * tension * a[byD]
			b[byPhi] -= give * tension * b[byD]
			t[byPhi] -= give * (d + tension*t[byD])
			v.take(&c.shares[hinge], give*tension*d, tension*d, &a, &b)
			hinge++
		}
		sin, cos, step := tr.sin[n+1], tr.cos[n+1], run[kicksPerSegment]*length
		a.straight(sin, cos, step)
		b.straight(sin, cos, step)
		t.straight(sin, cos, step)
	}
	v.angle[nodes-1], v.tension[nodes-1] = a, t
	v.keep(nodes-1, &a, &b)
}

// take adds the part of the two knots around a hinge that turns by the angle bend under the given moment.
func (v *sensitivity) take(s *share, bend, moment float64, a, b *change) {
	part := change{
		b[byD],
		-a[byD],
		-(a[byE]*b[byD] - b[byE]*a[byD]),
		-(a[byArea]*b[byD] - b[byArea]*a[byD]),
	}
	add := func(p int, strength, energy float64) {
		for i := range part {
			v.taken[p][i] += strength * part[i]
		}
		v.energy[p] += energy * moment
	}
	root, nock := s.weight*(1-s.nockK), s.weight*s.nockK
	add(s.knot, bend*s.rootB, bend/2*s.rootB)
	add(s.knot+1, bend*s.nockB, bend/2*s.nockB)
	add(v.knots+s.knot, -root, -root)
	add(v.knots+s.knot+1, -nock, -nock)
}

// keep writes the direct changes at a node.
func (v *sensitivity) keep(node int, a, b *change) {
	phi, d, e, area := v.row(node, byPhi), v.row(node, byD), v.row(node, byE), v.row(node, byArea)
	for p := range v.taken {
		t := &v.taken[p]
		phi[p] = a[byPhi]*t[0] + b[byPhi]*t[1]
		d[p] = a[byD]*t[0] + b[byD]*t[1]
		e[p] = a[byE]*t[0] + b[byE]*t[1] + t[2]
		area[p] = a[byArea]*t[0] + b[byArea]*t[1] + t[3]
	}
}
