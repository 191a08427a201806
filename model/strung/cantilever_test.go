package strung

import "math"

// A Bent is a limb bent by a load, with its bend at places from the nock to the root.
type Bent struct {
	LimbState
	S, Bend []float64
}

// Cantilever bends a single limb, clamped at its root at the origin, by a force on its free end that stays
// square to the line, and by a moment there. It walks the limb exactly as the solver of the strung bow does,
// and checks that walk against the elastica of the handbooks. It fails with [ErrNotConverged] where the load
// could not be followed up from nothing.
func Cantilever(limb Limb, force, moment float64) (out Bent, err error) {
	if err := limb.check("limb"); err != nil {
		return out, err
	}
	var c chain
	c.build(limb, Linear, DefaultSegments)
	rest := make([]float64, len(c.turns))
	for i := range c.turns {
		rest[i] = c.turns[i].rest
	}
	const aim = math.Pi / 2
	phi := aim + c.restAngle()
	var e end
	_, ok := follow(0, 1, finest, func(share float64) bool {
		// A moment at the end is the same at every hinge, and turns it like a rest bend.
		for i := range c.turns {
			c.turns[i].rest = rest[i] + share*moment*c.turns[i].give
		}
		next := phi
		for range newtonSteps {
			c.ends(next, share*force, &e)
			off := e.phi - aim
			if math.Abs(off) < 1e-12 {
				phi = next
				return true
			}
			next -= max(-0.5, min(0.5, off/e.byA[0]))
		}
		return false
	})
	if !ok {
		return out, &Error{Err: ErrNotConverged}
	}
	var tr trace
	c.trace(phi, force, &tr)
	out.fill(&e, 0)
	out.RootMoment += moment
	for i, sigma := range c.node {
		s := limb.Length - sigma
		out.S = append(out.S, s)
		out.Bend = append(out.Bend, (force*tr.d[i]+moment)/c.spot(s).stiff)
	}
	return out, nil
}

// Nodes counts the nodes of both limbs.
func (s *Solver) Nodes() int { return len(s.chains[0].node) + len(s.chains[1].node) }
