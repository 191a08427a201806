package strung

import "math"

// An end is where the chain arrives at the root when it starts at the nock with angle phi to its string under
// a tension, all in the frame along the string: angle, distance square to the string, distance along it; then
// the derivatives of these with respect to the nock angle and to the tension.
type end struct {
	phi, d, e        float64
	phiA, dA, eA     float64 // by the angle at the nock
	phiT, dT, eT     float64 // by the tension
	sin, cos         float64 // of phi, the angle of the string with the line
	x, y             float64 // of the nock seen from the root, in the limb's frame
	xA, yA, xT, yT   float64
	nockPhi, tension float64
}

// ends walks the chain from the nock to the root. This loop is where the time goes.
func (c *chain) ends(phi, tension float64, out *end) {
	out.nockPhi, out.tension = phi, tension
	var d, e, dA, eA, phiT, dT, eT float64
	phiA := 1.0
	for i := range c.turns {
		t := &c.turns[i]
		sin, cos := math.Sincos(phi)
		sin *= t.run
		cos *= t.run
		d += sin
		e += cos
		dA += cos * phiA
		eA -= sin * phiA
		dT += cos * phiT
		eT -= sin * phiT
		give := t.give * tension
		phi -= t.rest + give*d
		phiA -= give * dA
		phiT -= t.give*d + give*dT
	}
	sin, cos := math.Sincos(phi)
	out.sin, out.cos = sin, cos
	sin *= c.lastRun
	cos *= c.lastRun
	out.phi, out.d, out.e = phi, d+sin, e+cos
	out.phiA, out.dA, out.eA = phiA, dA+cos*phiA, eA-sin*phiA
	out.phiT, out.dT, out.eT = phiT, dT+cos*phiT, eT-sin*phiT
	out.turnToLine()
}

// turnToLine turns the end into the limb's own frame, in which the string makes the angle phi with the line.
func (o *end) turnToLine() {
	o.x = o.e*o.cos + o.d*o.sin
	o.y = -o.e*o.sin + o.d*o.cos
	o.xA = o.eA*o.cos + o.dA*o.sin + o.y*o.phiA
	o.yA = -o.eA*o.sin + o.dA*o.cos - o.x*o.phiA
	o.xT = o.eT*o.cos + o.dT*o.sin + o.y*o.phiT
	o.yT = -o.eT*o.sin + o.dT*o.cos - o.x*o.phiT
}
