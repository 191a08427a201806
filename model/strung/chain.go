package strung

import "math"

// unknowns fix a strung bow: for each limb the angle between limb and string at the nock (rad) and the
// tension of its half of the string.
type unknowns [2]struct{ phi, tension float64 }

// An end is where the walk along a chain arrives at the root when it starts at the nock with angle nockPhi to
// the string under a tension.
type end struct {
	nockPhi, tension float64
	phi, d, e        float64 // in the frame along the string: angle, distance square to it and along it
	sin, cos         float64 // of phi, the angle of the string with the line
	x, y             float64 // of the nock seen from the root, in the limb's frame
	byA, byT         outcome // by the angle at the nock and by the tension
}

// An outcome is the change of what the other limb and the string see of a limb: of the string's angle, of the
// nock's x and y, and of the tension.
type outcome [4]float64

// ends walks the chain from the nock to the root. This loop is where the time goes.
func (c *chain) ends(nockPhi, tension float64, out *end) {
	var d, e, dA, eA, phiT, dT, eT float64
	phi, phiA := nockPhi, 1.0
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
	*out = end{nockPhi: nockPhi, tension: tension, phi: phi, sin: sin, cos: cos}
	sin *= c.lastRun
	cos *= c.lastRun
	out.d, out.e = d+sin, e+cos
	out.findNock()
	out.setChanges(&change{phiA, dA + cos*phiA, eA - sin*phiA}, &change{phiT, dT + cos*phiT, eT - sin*phiT})
}

// findNock turns the end into the limb's own frame, in which the string makes the angle phi with the line.
func (o *end) findNock() {
	o.x = o.e*o.cos + o.d*o.sin
	o.y = -o.e*o.sin + o.d*o.cos
}

// setChanges takes the changes at the root with the angle at the nock and with the tension.
func (o *end) setChanges(byA, byT *change) {
	o.byA, o.byT = o.turned(byA), o.turned(byT)
	o.byT[3] = 1
}

// turned turns a change along the string into the limb's own frame; the tension stays.
func (o *end) turned(c *change) outcome {
	phi, d, e := c[byPhi], c[byD], c[byE]
	return outcome{phi, e*o.cos + d*o.sin + o.y*phi, -e*o.sin + d*o.cos - o.x*phi, 0}
}

// A gradient is how one equation changes with the outcome of the upper and of the lower limb.
type gradient [2]outcome

// along is the change of an equation with a change of one limb's outcome.
func (g *gradient) along(i int, change *outcome) float64 {
	return g[i][0]*change[0] + g[i][1]*change[1] + g[i][2]*change[2] + g[i][3]*change[3]
}

// row is the change of an equation with the unknowns, in the columns of the equations.
func (g *gradient) row(ends *[2]end, pull float64) (row [4]float64) {
	for i := range ends {
		row[2*i] = g.along(i, &ends[i].byA)
		row[2*i+1] = g.along(i, &ends[i].byT) * pull
	}
	return row
}
