package plan

import (
	"math"

	"bendbook/model/estimate"
)

// A Scraped is one scraping with its count of strokes and the depth that later readings show.
type Scraped struct {
	// Bow tells bows apart: scrapings of one bow share the errors of its measured sizes and its wood.
	Bow     int
	Strokes int
	Depth   estimate.Figure // taken off, as the readings alone show it (in)
}

// A Stroke is what one stroke of a tool takes off a wood, as a shop's own scrapings show it.
type Stroke struct {
	// Depth is of a stroke in the long run (in), with its 90 % band.
	Depth estimate.Figure
	// Scatter is how far a single scraping is off that, as a share (1 sd).
	Scatter float64
	// Count is the number of scrapings that say so; with none the figure is common practice.
	Count int
}

// Learn estimates what a stroke takes from a shop's scrapings with one tool in one wood. Each scraping is
// weighted by the error of its readings and by the scatter of single scrapings, which is estimated too;
// outliers count less (Huber weights).
func Learn(all []Scraped) Stroke {
	usual := estimate.UsualStroke().Depth
	mean, scatter := math.Log(usual), usualScatter
	var spread float64
	for range 20 {
		precision := 1 / (usualSpread * usualSpread)
		sum := precision * math.Log(usual)
		squares, weights := 0.0, 0.0
		for _, s := range all {
			share := math.Exp(mean) * float64(s.Strokes)
			if !(share > 0) {
				continue
			}
			// The error as a share of the depth expected stands for that of the logarithm, which a negative
			// reading has not.
			off := s.Depth.Estimate/share - 1
			own := sd(s.Depth) / share
			v := own*own + scatter*scatter
			w := min(1, mostOff*math.Sqrt(v)/math.Abs(off))
			precision += w / v
			sum += w / v * (mean + off)
			squares += (w*w*off*off - own*own) * scatter * scatter / v // bounded (Huber 1981, proposal 2)
			weights += scatter * scatter / v
		}
		next := sum / precision
		spread = math.Sqrt(1 / precision)
		scatter = math.Sqrt(max((scatterWeight*usualScatter*usualScatter+squares)/(scatterWeight+weights), 0.01))
		moved := math.Abs(next - mean)
		mean = next
		if moved < 1e-6 {
			break
		}
	}
	bows := map[int]bool{}
	for _, s := range all {
		bows[s.Bow] = true
	}
	if len(bows) > 0 {
		spread = math.Hypot(spread, bowError/math.Sqrt(float64(len(bows))))
	}
	stroke, band := math.Exp(mean), math.Exp(quantile*spread)
	depth := estimate.Figure{Estimate: stroke, Low: stroke / band, High: stroke * band}
	return Stroke{Depth: depth, Scatter: scatter, Count: len(all)}
}

// Taking is the stroke as package estimate wants it.
func (s Stroke) Taking() estimate.Stroke {
	spread := math.Log(s.Depth.High/s.Depth.Low) / 2 / quantile
	return estimate.Stroke{Depth: s.Depth.Estimate, Error: math.Hypot(s.Scatter, spread)}
}

// Strokes is how many strokes take off a depth (in), to the nearest; at least one.
func (s Stroke) Strokes(depth float64) int {
	return max(int(math.Round(depth/s.Depth.Estimate)), 1)
}
