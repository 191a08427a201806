package strung

import "math"

// A Load acts on the free end of a limb whose root is clamped. It keeps its direction
// however the limb bends.
type Load struct {
	// X and Y are the force on the nock, outwards along the line and across it (force).
	X, Y float64
	// Moment turns the nock from X to Y (force·length).
	Moment float64
}

// Cantilever bends a single limb, clamped at its root at the origin, by a load on its
// free end. It walks the limb exactly as the solver of the strung bow does, and checks that
// walk against the elastica of the handbooks. Of the state it fills the shape, the moments, and the
// load as Tension and StringAngle.
//
// Errors are [ErrInput], [ErrStiffness], and [ErrNotConverged] where the load could not be
// followed up from nothing.
func Cantilever(limb Limb, between Profile, load Load, options ...Option) (LimbState, error) {
	var s Solver
	s.segments = DefaultSegments
	for _, option := range options {
		option(&s)
	}
	if err := limb.check("limb"); err != nil {
		return LimbState{}, err
	}
	for _, v := range [...]float64{load.X, load.Y, load.Moment} {
		if !(math.Abs(v) <= maxMagnitude) {
			return LimbState{}, inputError("load", "must be finite, not %v", v)
		}
	}
	c := &s.chains[0]
	c.build(limb, between, s.segments)
	rest := make([]float64, len(c.turns))
	angle := 0.0
	for i := range c.turns {
		rest[i] = c.turns[i].rest
		angle += rest[i]
	}
	tension, aim := math.Hypot(load.X, load.Y), math.Atan2(load.Y, -load.X)
	phi := aim + angle
	e := &s.ends[0]
	_, ok := follow(0, 1, func(share float64) bool {
		// A moment at the end is the same at every hinge, and turns it like a rest bend.
		for i := range c.turns {
			c.turns[i].rest = rest[i] + share*load.Moment*c.turns[i].give
		}
		next := phi
		for range newtonSteps {
			c.ends(next, share*tension, e)
			off := e.phi - aim
			if math.Abs(off) < 1e-12 {
				phi = next
				return true
			}
			next -= max(-0.5, min(0.5, off/e.phiA))
		}
		return false
	})
	if !ok {
		return LimbState{}, &Error{Err: ErrNotConverged}
	}
	c.trace(phi, tension, &s.traces[0])
	var out LimbState
	out.fill(c, e, &s.traces[0], 0)
	out.RootMoment += load.Moment
	for i := range out.Moment {
		out.Moment[i] += load.Moment
		out.Bend[i] = out.Moment[i] / c.nodeStiffness[len(c.node)-1-i]
	}
	return out, nil
}
