package strung

import (
	"math"
	"slices"
)

// runs are the straight runs as fractions of the segment; run j comes before turn j.
func runs() [kicksPerSegment + 1]float64 {
	return [...]float64{runA1, runA2, runA3, runA4, runA3, runA2, runA1}
}

// turns are the weights of the turns as fractions of the segment.
func turns() [kicksPerSegment]float64 {
	return [...]float64{turnB1, turnB2, turnB3, turnB3, turnB2, turnB1}
}

// A turn is one hinge of the chain and the straight run before it, seen from the nock inwards.
type turn struct {
	run  float64 // length of the straight run before the hinge
	give float64 // weight over stiffness: angle per moment (1/(force·length))
	rest float64 // weight times rest bend: angle at rest (rad)
}

// A mix says how a place depends on the two knots around it.
type mix struct {
	knot         int     // the knot on the root side; the other is knot+1
	nockK        float64 // d κ₀ / d κ₀ of the knot on the nock side; on the root side 1 − nockK
	rootB, nockB float64 // d ln B / d ln B of the knots on the root side and on the nock side
	stiff        float64 // B there
}

// A share says what a hinge stands for.
type share struct {
	mix
	weight float64 // length of limb
	sigma  float64 // distance from the nock along the limb
}

// A chain is one limb to the solver: straight runs and elastic hinges, from the nock to the root.
type chain struct {
	limb    Limb
	profile Profile
	node    []float64 // σ = L − s at segment boundaries, 0 first, L last
	turns   []turn    // kicksPerSegment for each segment
	lastRun float64   // the straight run after the last turn
	shares  []share   // one for each turn
	pull    float64   // a tension that bends this limb strongly: the scale of T
}

// build lays the chain out for a checked limb. It reuses the slices it has.
func (c *chain) build(limb Limb, profile Profile, segments int) {
	c.limb.Length, c.profile = limb.Length, profile
	c.limb.At = append(c.limb.At[:0], limb.At...)
	c.limb.Stiffness = append(c.limb.Stiffness[:0], limb.Stiffness...)
	c.limb.RestBend = zeroed(c.limb.RestBend, len(limb.At))
	copy(c.limb.RestBend, limb.RestBend)
	c.node = append(c.node[:0], 0)
	c.turns, c.shares, c.lastRun = c.turns[:0], c.shares[:0], 0
	finer := max(1, (segments+DefaultSegments/2)/DefaultSegments)
	for k := len(limb.At) - 2; k >= 0; k-- {
		c.divide(k, limb.Length/float64(segments), finer)
	}
	c.node[len(c.node)-1] = limb.Length // without the rounding
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

// restAngle is the angle by which the unstrung limb turns from root to nock.
func (c *chain) restAngle() float64 {
	angle := 0.0
	for i := range c.turns {
		angle += c.turns[i].rest
	}
	return angle
}

// divide lays out the segments between knot k and knot k+1, from the nock's side, none longer than longest.
// Where it halves them towards a weak end, each of those is cut into finer pieces.
func (c *chain) divide(k int, longest float64, finer int) {
	root, nock := c.limb.Stiffness[k], c.limb.Stiffness[k+1]
	contrast := max(root, nock) / min(root, nock)
	parts := math.Ceil((c.limb.At[k+1] - c.limb.At[k]) / longest * (1 - 1e-9))
	halvings := 0
	if c.profile == LogLinear {
		parts = max(parts, math.Ceil(math.Log(contrast)/math.Log(gradeRatio)*(1-1e-9)))
	} else {
		// Across the weakest part stiffness rises by this, in units of its weaker end.
		for rise := (contrast - 1) / max(parts, 1); 1+rise > gradeRatio; rise /= 2 {
			halvings++
		}
	}
	m := max(1, int(parts))
	count := m + halvings
	// bound is the i-th boundary as a fraction of the interval, from its weaker end.
	bound := func(i int) float64 {
		if 0 < i && i <= halvings {
			return math.Ldexp(1, i-1-halvings) / float64(m)
		}
		return float64(max(i-halvings, 0)) / float64(m)
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
		step := (to - from) / float64(pieces)
		for p := range pieces {
			c.segment(k, from+float64(p)*step, from+float64(p+1)*step)
		}
	}
}

// segment adds one segment between knots k and k+1, from fraction u0 to u1 from the nock.
func (c *chain) segment(k int, u0, u1 float64) {
	interval := c.limb.At[k+1] - c.limb.At[k]
	start, length := c.limb.Length-c.limb.At[k+1], (u1-u0)*interval
	run, u := runs(), u0
	for j, weight := range turns() {
		u += run[j] * (u1 - u0)
		s := share{c.between(k, 1-u), weight * length, start + u*interval}
		c.turns = append(c.turns, turn{run: c.lastRun + run[j]*length, give: s.weight / s.stiff})
		c.shares = append(c.shares, s)
		c.lastRun = 0
	}
	c.lastRun = run[kicksPerSegment] * length
	c.node = append(c.node, start+u1*interval)
}

// between mixes the knots k and k+1 at the fraction f of the way from the one to the other.
func (c *chain) between(k int, f float64) mix {
	root, nock := c.limb.Stiffness[k], c.limb.Stiffness[k+1]
	if c.profile == LogLinear {
		return mix{k, f, 1 - f, f, root * math.Exp(f*math.Log(nock/root))}
	}
	stiff := (1-f)*root + f*nock
	return mix{k, f, (1 - f) * root / stiff, f * nock / stiff, stiff}
}

// sized is a slice of n values, reusing the room of v.
func sized[T any](v []T, n int) []T { return slices.Grow(v[:0], n)[:n] }

// zeroed is a slice of n zeros, reusing the room of v.
func zeroed[T any](v []T, n int) []T {
	v = sized(v, n)
	clear(v)
	return v
}
