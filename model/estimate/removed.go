package estimate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A Removed is what one scraping of the last pass took off.
type Removed struct {
	Scrape Scrape
	// Loss is how far log stiffness fell, in the mean over the stretch, as expected of the scraping and read
	// afterwards. Expected is what the scraping alone let expect.
	Loss, Expected Figure
	// Seen is what the readings alone say of it; OK is false where they show next to nothing.
	Seen Figure
	OK   bool
}

func (b Bow) depthShares(loss Figure) Figure {
	return Figure{b.DepthShare(loss.Estimate), b.DepthShare(loss.Low), b.DepthShare(loss.High)}
}

// SeenDepth is what the readings alone say came off, in inches, where the depth of the limb was measured.
func (r Removed) SeenDepth(b Bow) (f Figure, known bool) {
	depth, known := b.Depth(r.Scrape.Side, (r.Scrape.From+r.Scrape.To)/2)
	if !known || !r.OK {
		return Figure{}, false
	}
	f = b.depthShares(r.Seen)
	return Figure{Estimate: depth * f.Estimate, Low: depth * f.Low, High: depth * f.High}, true
}

// leastSeen is by how much the readings must lower the variance of a loss to count,
// and removedPlaces how many places of a stretch its mean is taken over.
const (
	leastSeen     = 0.05
	removedPlaces = 8
)

// Removed is what the scrapings of the last pass took off, one for each, as its readings show: the loss
// belongs to the bow before the readings jointly with its stiffness, and is conditioned on what they say of
// that (Rauch, Tung & Striebel, AIAA Journal 3 (1965) 1445-1450). nil before anything was read after them.
func (st State) Removed() []Removed {
	if len(st.scraped) == 0 || st.unmeasured.root == nil {
		return nil
	}
	before, after := st.unmeasured.covariance(), st.g.covariance()
	n := len(st.g.mean)
	var learnt mat.SymDense
	after.ScaleSym(-1, after)
	learnt.AddSym(before, after)
	moved := append([]float64(nil), st.g.mean...)
	axpy(-1, st.unmeasured.mean, moved)
	var chol mat.Cholesky
	for i := range n {
		before.SetSym(i, i, before.At(i, i)*(1+1e-10)+1e-300)
	}
	if !chol.Factorize(before) {
		return nil
	}
	var all []Removed
	for _, s := range st.scraped {
		mean, with, variance := st.lossBy(s)
		var gain mat.VecDense
		if chol.SolveVecTo(&gain, mat.NewVecDense(n, with)) != nil {
			return nil
		}
		said := mat.Inner(&gain, &learnt, &gain)
		left := math.Max(variance-said, 1e-3*variance)
		r := Removed{Scrape: s, Expected: around(mean, math.Sqrt(variance))}
		now := mean + dot(gain.RawVector().Data, moved)
		r.Loss = around(now, math.Sqrt(left))
		if left < (1-leastSeen)*variance {
			own := 1 / (1/left - 1/variance)
			r.Seen, r.OK = around(own*(now/left-mean/variance), math.Sqrt(own)), true
		}
		all = append(all, r)
	}
	return all
}

// lossBy is the expected loss of a scraping in the mean over its stretch, its covariance with the bow's
// values after it, and its variance.
func (st State) lossBy(s Scrape) (mean float64, with []float64, variance float64) {
	knots := st.frame.knots[s.Side]
	first := st.frame.stiffness(s.Side)
	loss, sd := st.loss(s)
	even, uneven := sd*sd*(1-scrapeUneven), sd*sd*scrapeUneven
	var at [removedPlaces]float64
	for k := range at {
		at[k] = s.From + (s.To-s.From)*(float64(k)+0.5)/removedPlaces
	}
	alike := func(place float64) float64 {
		sum := 0.0
		for _, a := range at {
			sum += matern(place-a, scrapeReach) / removedPlaces
		}
		return sum
	}
	with = make([]float64, len(st.g.mean))
	for i, knot := range knots {
		with[first+i] = -cover(knots, i, s.From, s.To) * (even + uneven*alike(knot))
	}
	variance = even
	for _, a := range at {
		variance += uneven * alike(a) / removedPlaces
	}
	return -loss, with, variance
}

// A Stroke is what a tool takes at a stroke: the depth (in), and the error of one scraping as a share (1 sd).
type Stroke struct{ Depth, Error float64 }

// UsualStroke is common practice for a scraper: 0.002 in, 0.001 to 0.003 (no source).
func UsualStroke() Stroke { return Stroke{Depth: strokeDepth, Error: strokesError} }
