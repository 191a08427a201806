package estimate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// matern is the Matérn covariance of smoothness 3/2 at a distance, for unit variance and the given range: (1
// + √3·d/r)·exp(−√3·d/r). Rasmussen & Williams, Gaussian Processes (2006), eq. 4.17 (from memory).
func matern(distance, reach float64) float64 {
	x := math.Sqrt(3) * math.Abs(distance) / reach
	return (1 + x) * math.Exp(-x)
}

// A curve is a prior for a function along a limb: a level, a slope, a bow and a tip of their own sizes, and
// roughness about them.
type curve struct {
	level float64 // sd of the value everywhere
	slope float64 // sd of the change from root to nock
	bow   float64 // sd of the rise in mid limb over the line from root to nock
	tip   float64 // sd of what belongs to the tip alone, as u⁶
	rough float64 // sd of roughness
	reach float64 // its range along the limb (in)
	fine  float64 // sd of finer roughness, hardly alike from one knot to the next
}

// at is the covariance between the places s and t of a limb (in).
func (c curve) at(s, t, length float64) float64 {
	if c.reach == 0 {
		return c.trend(s/length, t/length)
	}
	return c.trend(s/length, t/length) + c.rough*c.rough*matern(s-t, c.reach) +
		fineKnots*c.fine*c.fine*matern(s-t, fineReach)
}

// trend is the part without roughness, by shares of the limb; the limbs of one stave may have it in common.
func (c curve) trend(u, v float64) float64 {
	bow := 16 * u * (1 - u) * v * (1 - v)
	tip := math.Pow(u*v, 6)
	return c.level*c.level + c.slope*c.slope*(u-0.5)*(v-0.5) + c.bow*c.bow*bow + c.tip*c.tip*tip
}

// between is the variance of roughness at s about the line between its knots: what knots can't show.
func (c curve) between(s float64, knots []float64) float64 {
	k, f := locate(knots, s)
	a, b := knots[k], knots[k+1]
	cov := func(s, t float64) float64 { return matern(s-t, c.reach) }
	v := 1 + (1-f)*(1-f) + f*f + 2*f*(1-f)*cov(a, b) - 2*(1-f)*cov(s, a) - 2*f*cov(s, b)
	return c.rough*c.rough*max(v, 0) + fineHidden*c.fine*c.fine
}

// addCurve adds a curve's covariance at a limb's knots to that of the values from first on.
func addCurve(cov *mat.SymDense, first int, knots []float64, c curve) {
	for i, s := range knots {
		for j, t := range knots[i:] {
			addTo(cov, first+i, first+i+j, c.at(s, t, knots[len(knots)-1]))
		}
	}
}

// addUneven adds the covariance of a change of a limb's values from first on, where they are covered: a
// share uneven of it varies along the limb over a reach.
func addUneven(cov *mat.SymDense, first int, knots, covered []float64, sd, uneven, reach float64) {
	for i, c := range covered {
		for j := i; j < len(knots); j++ {
			alike := 1 - uneven + uneven*matern(knots[i]-knots[j], reach)
			addTo(cov, first+i, first+j, c*covered[j]*sd*sd*alike)
		}
	}
}

// locate finds the knots k and k+1 around s, and how far s lies from the first to the second (0 to 1).
func locate(knots []float64, s float64) (k int, f float64) {
	for k < len(knots)-2 && knots[k+1] <= s {
		k++
	}
	f = (s - knots[k]) / (knots[k+1] - knots[k])
	return k, min(max(f, 0), 1)
}
