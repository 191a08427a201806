package strung

import "math"

// DefaultSegments is the number of segments a limb is divided into unless [Segments] says otherwise. A limb
// with more knots than that has one segment or more between each two of them.
const DefaultSegments = 16

// gradeRatio is the largest ratio of stiffness across a segment. Where stiffness falls to little at one end,
// segments are halved towards that end until it is met, since there the bend changes over a length of
// stiffness over its slope.
const gradeRatio = 2.5

// A turn is one hinge of the chain and the straight run before it, seen from the nock inwards.
type turn struct {
	run  float64 // length of the straight run before the hinge
	give float64 // weight over stiffness: angle per moment (1/(force·length))
	rest float64 // weight times rest bend: angle at rest (rad)
}

// A share says how a hinge depends on the two knots around it.
type share struct {
	knot   int     // the knot on the root side; the other is knot+1
	weight float64 // length of limb that the hinge stands for
	rootB  float64 // d ln B / d ln B of the knot on the root side
	nockB  float64 // and on the nock side
	nockK  float64 // d κ₀ / d κ₀ on the nock side; on the root side 1 − nockK
	stiff  float64 // B at the hinge
	sigma  float64 // its distance from the nock along the limb
}

// A chain is one limb to the solver: straight runs and elastic hinges, from the nock to the root.
type chain struct {
	limb    Limb
	profile Profile
	node    []float64 // σ = L − s at segment boundaries, 0 first, L last
	// nodeStiffness is B at the nodes.
	nodeStiffness []float64
	turns         []turn  // kicksPerSegment for each segment
	lastRun       float64 // the straight run after the last turn
	shares        []share // one for each turn
	pull          float64 // a tension that bends this limb strongly: the scale of T
}

// build lays the chain out for a checked limb. It reuses the slices it has.
func (c *chain) build(limb Limb, profile Profile, segments int) {
	c.limb.Length = limb.Length
	c.limb.At = append(c.limb.At[:0], limb.At...)
	c.limb.Stiffness = append(c.limb.Stiffness[:0], limb.Stiffness...)
	c.limb.RestBend = append(c.limb.RestBend[:0], limb.RestBend...)
	for len(c.limb.RestBend) < len(limb.At) {
		c.limb.RestBend = append(c.limb.RestBend, 0)
	}
	c.profile = profile
	c.node = append(c.node[:0], 0)
	c.nodeStiffness = append(c.nodeStiffness[:0], limb.Stiffness[len(limb.At)-1])
	c.turns, c.shares, c.lastRun = c.turns[:0], c.shares[:0], 0
	for k := len(limb.At) - 2; k >= 0; k-- {
		c.divide(k, limb.Length/float64(segments), max(1, (segments+DefaultSegments/2)/DefaultSegments))
	}
	c.setRest(1)
	bend := 0.0
	for i, t := range c.turns {
		bend += t.give * c.shares[i].sigma * c.shares[i].sigma
	}
	c.pull = limb.Length / bend
}

// setRest bends the unstrung limb by a share of its rest bend.
func (c *chain) setRest(share float64) {
	for i := range c.turns {
		s := &c.shares[i]
		bend := (1-s.nockK)*c.limb.RestBend[s.knot] + s.nockK*c.limb.RestBend[s.knot+1]
		c.turns[i].rest = share * s.weight * bend
	}
}

// divide lays out the segments between knot k and knot k+1, from the nock's side, none longer than longest.
// Where it halves them towards a weak end, each of those is cut into finer pieces.
func (c *chain) divide(k int, longest float64, finer int) {
	root, nock := c.limb.Stiffness[k], c.limb.Stiffness[k+1]
	contrast := max(root, nock) / min(root, nock)
	parts := math.Ceil((c.limb.At[k+1] - c.limb.At[k]) / longest * (1 - 1e-9))
	halvings := 0
	switch c.profile {
	case LogLinear:
		parts = max(parts, math.Ceil(math.Log(contrast)/math.Log(gradeRatio)*(1-1e-9)))
	default:
		// Across the weakest part stiffness rises by this, in units of its weaker end.
		for rise := (contrast - 1) / max(parts, 1); 1+rise > gradeRatio; rise /= 2 {
			halvings++
		}
	}
	m := max(1, int(parts))
	count := m + halvings
	// bound is the i-th boundary as a fraction of the interval, from its weaker end.
	bound := func(i int) float64 {
		switch {
		case i == 0:
			return 0
		case i <= halvings:
			return math.Ldexp(1, i-1-halvings) / float64(m)
		default:
			return float64(i-halvings) / float64(m)
		}
	}
	for i := range count {
		j, from, to := i, bound(i), bound(i+1)
		if nock > root {
			j = count - 1 - i
			from, to = 1-bound(j+1), 1-bound(j)
		}
		// The halved parts must become finer with all the others.
		pieces := 1
		if halvings > 0 && j <= halvings {
			pieces = finer
		}
		for p := range pieces {
			step := (to - from) / float64(pieces)
			c.segment(k, from+float64(p)*step, from+float64(p+1)*step)
		}
	}
}

// segment adds one segment between knots k and k+1, from fraction u0 to u1 from the nock.
func (c *chain) segment(k int, u0, u1 float64) {
	interval := c.limb.At[k+1] - c.limb.At[k]
	length := (u1 - u0) * interval
	root, nock := c.limb.Stiffness[k], c.limb.Stiffness[k+1]
	run := runs()
	u := u0
	for j, weight := range turns() {
		u += run[j] * (u1 - u0)
		s := share{knot: k, weight: weight * length, nockK: 1 - u}
		s.sigma = c.limb.Length - c.limb.At[k+1] + u*interval
		s.stiff = between(c.profile, nock, root, u)
		s.rootB, s.nockB = u, 1-u
		if c.profile == Linear {
			s.rootB, s.nockB = u*root/s.stiff, (1-u)*nock/s.stiff
		}
		c.turns = append(c.turns, turn{
			run:  c.lastRun + run[j]*length,
			give: s.weight / s.stiff,
		})
		c.shares = append(c.shares, s)
		c.lastRun = 0
	}
	c.lastRun = run[kicksPerSegment] * length
	c.node = append(c.node, c.limb.Length-c.limb.At[k+1]+u1*interval)
	c.nodeStiffness = append(c.nodeStiffness, between(c.profile, nock, root, u1))
}

// between is the stiffness at fraction u of the way from a to b.
func between(p Profile, a, b, u float64) float64 {
	if p == LogLinear {
		return a * math.Exp(u*math.Log(b/a))
	}
	return (1-u)*a + u*b
}
