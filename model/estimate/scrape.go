package estimate

import (
	"cmp"
	"math"

	"bendbook/model"
)

// loss is the expected change of log stiffness where a scraping took wood off, and its standard deviation.
func (b Bow) loss(s Scrape) (loss, sd float64) {
	depth, known := b.Depth(s.Side, (s.From+s.To)/2)
	rough := depthError
	if !known {
		rough = unsizedError
	}
	switch {
	case s.Share > 0:
		loss, sd = -b.Loss(s.Share), shareError
	case s.Depth > 0:
		loss, sd = -b.Loss(s.Depth/depth), rough
	case s.Strokes > 0:
		stroke := cmp.Or(s.Stroke, UsualStroke())
		loss, sd = -b.Loss(float64(s.Strokes)*stroke.Depth/depth), max(stroke.Error, rough)
	default:
		loss, sd = -unknownLoss, 1
	}
	return loss, math.Hypot(sd*loss, floorLoss)
}

// exponent is that of stiffness by depth as the belly is scraped: 3 for a section that keeps its form, 2.86
// for a flat-backed D scraped on its belly (testdata/reference/sections.json).
func (b Bow) exponent() float64 {
	if b.Section.Keeps() {
		return 3
	}
	return 2.86
}

// DepthShare is the fraction of the depth that comes off where log stiffness falls by a loss.
func (b Bow) DepthShare(loss float64) float64 { return 1 - math.Exp(-loss/b.exponent()) }

// Loss is how far log stiffness falls when a fraction of the depth comes off.
func (b Bow) Loss(depthShare float64) float64 {
	return -b.exponent() * math.Log(1-min(max(depthShare, 0), deepest))
}

// Depth is a limb's depth at a place (in), as last measured nearest to it; else the usual one.
func (b Bow) Depth(side model.Side, at float64) (depth float64, known bool) {
	size, known := b.Size(side, at)
	return size.Depth, known
}

// Size is that of a limb nearest to a place, as last measured; else the usual depth alone.
func (b Bow) Size(side model.Side, at float64) (nearest Size, known bool) {
	off := math.Inf(1)
	nearest.Depth = usualDepth
	for _, size := range b.Limbs[side].latest() {
		if away := math.Abs(size.At - at); away < off {
			nearest, off, known = size, away, true
		}
	}
	return nearest, known
}

// covers are how far a scraping between two places covers each knot: the mean under the knot's tent of 1
// within and 0 outside, fading at the ends.
func covers(knots []float64, from, to float64) []float64 {
	const parts = 16
	all := make([]float64, len(knots))
	for i, knot := range knots {
		low, high := knots[max(i-1, 0)], knots[min(i+1, len(knots)-1)]
		weight := 0.0
		for p := range parts {
			s := low + (high-low)*(float64(p)+0.5)/parts
			w := (high - s) / (high - knot)
			if s < knot {
				w = (s - low) / (knot - low)
			}
			in := min((s-from)/scrapeEdge, (to-s)/scrapeEdge) + 0.5
			all[i] += w * min(max(in, 0), 1)
			weight += w
		}
		all[i] /= weight
	}
	return all
}
