package estimate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// A Removed is what one scraping of the last pass took off.
type Removed struct {
	Scrape Scrape
	// Loss is how far log stiffness fell, in the mean over the stretch, by the entry and by what was read
	// afterwards; Expected is by the entry alone, Seen by the readings alone.
	Loss, Expected, Seen Figure
	OK                   bool // the readings show something
}

// SeenDepth is what came off by the readings alone (in), where the depth of the limb was measured.
func (r Removed) SeenDepth(b Bow) (f Figure, known bool) {
	depth, known := b.Depth(r.Scrape.Side, (r.Scrape.From+r.Scrape.To)/2)
	if !known || !r.OK {
		return Figure{}, false
	}
	return r.Seen.through(func(loss float64) float64 { return depth * b.DepthShare(loss) }), true
}

// Removed is what the scrapings of the last pass took off, one for each, as its readings show: the loss
// belongs to the bow before the readings jointly with its stiffness, and is conditioned on what they say of
// that (Rauch, Tung & Striebel, AIAA Journal 3 (1965) 1445-1450). nil before anything was read after them.
func (st State) Removed() []Removed {
	if len(st.scraped) == 0 || st.unmeasured.root == nil {
		return nil
	}
	before, after := st.unmeasured.covariance(), st.g.covariance()
	var learnt mat.SymDense
	after.ScaleSym(-1, after)
	learnt.AddSym(before, after)
	moved := slices.Clone(st.g.mean)
	floats.Sub(moved, st.unmeasured.mean)
	for i := range moved {
		before.SetSym(i, i, before.At(i, i)*(1+1e-10)+1e-300)
	}
	var chol mat.Cholesky
	if !chol.Factorize(before) {
		return nil
	}
	var all []Removed
	for _, s := range st.scraped {
		mean, with, variance := st.lossBy(s)
		var gain mat.VecDense
		if chol.SolveVecTo(&gain, mat.NewVecDense(len(with), with)) != nil {
			return nil
		}
		left := max(variance-mat.Inner(&gain, &learnt, &gain), 1e-3*variance)
		now := mean + floats.Dot(gain.RawVector().Data, moved)
		r := Removed{Scrape: s, Expected: around(mean, math.Sqrt(variance)), Loss: around(now, math.Sqrt(left))}
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
	loss, sd := st.bow.loss(s)
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
	for i, c := range covers(knots, s.From, s.To) {
		with[st.frame.stiffness(s.Side)+i] = -c * (even + uneven*alike(knots[i]))
	}
	variance = even
	for _, a := range at {
		variance += uneven * alike(a) / removedPlaces
	}
	return -loss, with, variance
}
