package estimate

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"bendbook/model"
	"bendbook/model/section"
)

// What a scraping is taken to do where that was not measured; common practice, no source.
const (
	strokeDepth  = 0.002 // in a stroke of a scraper takes, 0.001 to 0.003
	unknownLoss  = 0.06  // of log stiffness, of a scraping of which nothing is known
	usualDepth   = 0.9   // in, of a limb that was not measured
	floorLoss    = 0.012 // sd of log stiffness that no scraping falls short of
	scrapeReach  = 5     // in, range of the unevenness of a scraping
	scrapeEdge   = 1     // in, over which a scraping fades at its ends
	passBrace    = 0.1   // in, how far a brace height wanders from pass to pass on one string
	scrapeUneven = 0.6   // share of a scraping's uncertainty that varies along it
	deepest      = 0.5   // share of the depth that a scraping takes at the most, whatever was entered
)

// How far off a scraping may be, as a share of the loss (1 sd): by measured share of the depth, by depth in
// inches where the limb's own depth was measured and where it was not, and by strokes. This project's own.
const (
	shareError   = 0.25
	depthError   = 0.25
	unsizedError = 0.4
	strokesError = 0.6
)

// What a pass changes everywhere: drying, use and heat log stiffness, set rest bend (1/in).

func passStiffness() curve {
	return curve{level: 0.004, rough: 0.004, reach: 8}
}

func passRest() curve {
	return curve{level: 0.00012, slope: 0.0001, rough: 0.00006, reach: 8}
}

// age carries the bow into the next pass.
func (st State) age(p Pass) State {
	st.g = st.aged(st.g, p)
	st.unread = st.aged(st.unread, p)
	return st
}

// aged is a Gaussian of the bow after wood came off, and after the set that the pass may bring.
func (st State) aged(g gaussian, p Pass) gaussian {
	f := st.frame
	mean := append([]float64(nil), g.mean...)
	cov := g.covariance()
	set := usualSet * newFreshness(st, p).all()
	for _, s := range model.Sides {
		length := st.bow.Limbs[s].Length
		addCurve(cov, f.stiffness(s), f.knots[s], passStiffness())
		addCurve(cov, f.rest(s), f.knots[s], passRest())
		addCurve(cov, f.rest(s), f.knots[s], curve{level: 2 * set / (length * length)})
	}
	addTo(cov, f.brace(), f.brace(), passBrace*passBrace)
	for _, scrape := range p.Scrapes {
		st.scrape(scrape, mean, cov)
	}
	if next, ok := from(mean, cov); ok {
		return next
	}
	return g
}

// scrape takes wood off.
func (st State) scrape(s Scrape, mean []float64, cov *mat.SymDense) {
	knots := st.frame.knots[s.Side]
	first := st.frame.stiffness(s.Side)
	loss, sd := st.loss(s)
	covered := make([]float64, len(knots))
	for i := range knots {
		covered[i] = cover(knots, i, s.From, s.To)
		mean[first+i] += loss * covered[i]
	}
	even := sd * sd * (1 - scrapeUneven)
	uneven := sd * sd * scrapeUneven
	for i := range knots {
		for j := i; j < len(knots); j++ {
			c := covered[i] * covered[j]
			addTo(cov, first+i, first+j, c*(even+uneven*matern(knots[i]-knots[j], scrapeReach)))
		}
	}
}

// loss is the expected change of log stiffness where a scraping took wood off, and its standard deviation.
func (st State) loss(s Scrape) (loss, sd float64) {
	of := func(share float64) float64 { return -st.bow.Loss(share) }
	depth, known := st.bow.Depth(s.Side, (s.From+s.To)/2)
	rough := depthError
	if !known {
		rough = unsizedError
	}
	switch {
	case s.Share > 0:
		loss = of(s.Share)
		sd = shareError * math.Abs(loss)
	case s.Depth > 0:
		loss = of(s.Depth / depth)
		sd = rough * math.Abs(loss)
	case s.Strokes > 0:
		stroke := s.Stroke
		if !(stroke.Depth > 0) {
			stroke = UsualStroke()
		}
		loss = of(float64(s.Strokes) * stroke.Depth / depth)
		sd = max(stroke.Error, rough) * math.Abs(loss)
	default:
		loss, sd = -unknownLoss, unknownLoss
	}
	return loss, math.Hypot(sd, floorLoss)
}

// exponent is that of stiffness by depth as the belly is scraped: 3 for a section that keeps its form, 2.86
// for a flat-backed D scraped on its belly (testdata/reference/sections.json).
func (b Bow) exponent() float64 {
	if b.Section == section.D {
		return 2.86
	}
	return 3
}

// DepthShare is the fraction of the depth to take off for log stiffness to fall by a loss.
func (b Bow) DepthShare(loss float64) float64 { return 1 - math.Exp(-loss/b.exponent()) }

// Loss is how far log stiffness falls when a fraction of the depth comes off.
func (b Bow) Loss(depthShare float64) float64 {
	return -b.exponent() * math.Log(1-min(max(depthShare, 0), deepest))
}

// Depth is a limb's depth at a place (in), as last measured nearest to it; else the usual one.
func (b Bow) Depth(side model.Side, s float64) (depth float64, known bool) {
	sizes := b.Limbs[side].latest()
	if len(sizes) == 0 {
		return usualDepth, false
	}
	best := sizes[0]
	for _, size := range sizes {
		if math.Abs(size.At-s) < math.Abs(best.At-s) {
			best = size
		}
	}
	return best.Depth, true
}

// cover is how much of what a knot stands for lies between two places: the mean, under the knot's tent, of
// what fades from 1 within to 0 outside.
func cover(knots []float64, i int, from, to float64) float64 {
	low, high := knots[max(i-1, 0)], knots[min(i+1, len(knots)-1)]
	const parts = 16
	sum, weight := 0.0, 0.0
	for p := range parts {
		s := low + (high-low)*(float64(p)+0.5)/parts
		w := 0.0
		switch {
		case s < knots[i]:
			w = (s - low) / (knots[i] - low)
		default:
			w = (high - s) / (high - knots[i])
		}
		in := min((s-from)/scrapeEdge, (to-s)/scrapeEdge) + 0.5
		sum += w * min(max(in, 0), 1)
		weight += w
	}
	return sum / weight
}
