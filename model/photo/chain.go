package photo

import (
	"math"
	"slices"
)

// What a limb's stickers may do from one to the next. Limbs bend to a radius of 10 in at most, and back by
// little; stickers are pencilled to a sixteenth.
const (
	tightest    = 1.0 / 10 // 1/in
	backward    = 1.0 / 60 // 1/in
	placing     = 0.1      // in
	mostMissing = 5        // stations in a row
	width       = 4        // ways that are kept to each sticker
)

// A spot is a sticker in the plane of the bow (in); its radius, too.
type spot struct {
	point
	radius float64
	index  int
}

// A way is stickers taken as stations, from the handle out.
type way struct {
	last    point
	heading float64 // away from the line, towards the draw
	station int     // index of the last one, -1 at the handle
	at      []int   // by station the spot's index, -1 for none
	cost    float64 // less is better
	n       int
}

// A limb is what is known of one limb in the picture: the root, unit vectors outward along the line and
// towards the draw, and where its stations lie.
type limb struct {
	root      point
	out, down point
	stations  []float64
}

// local is a spot in the limb's own frame, from the root.
func (l *limb) local(p point) point {
	d := l.root.to(p)
	return point{d.dot(l.out), d.dot(l.down)}
}

// follow assigns spots to a limb's stations: spacing along the limb, and bend, tell which is which. loose is
// how far off the scale may be, as a share.
func (l *limb) follow(spots []spot, loose float64) (best way) {
	n := len(l.stations)
	layers := make([][]way, n+1)
	none := slices.Repeat([]int{-1}, n)
	layers[0] = []way{{station: -1, at: none}}
	best = way{at: none, cost: math.Inf(1)}
	for i, layer := range layers {
		for _, w := range layer {
			// What is missing further out costs as much as what is missing between.
			if end := w.cost + 1.0*float64(n-i); end < best.cost {
				best = w
				best.cost = end
			}
			for j := i; j < min(n, i+mostMissing+1); j++ {
				for _, s := range spots {
					if next, ok := l.step(w, j, s, loose); ok {
						layers[j+1] = insert(layers[j+1], next)
					}
				}
			}
		}
	}
	return best
}

// step takes a way on to a spot as a station.
func (l *limb) step(w way, station int, s spot, loose float64) (next way, ok bool) {
	before := 0.0
	if w.station >= 0 {
		before = l.stations[w.station]
	}
	span := l.stations[station] - before
	to := l.local(s.point)
	d := w.last.to(to)
	chord := math.Hypot(d.x, d.y)
	if math.Abs(chord-span) > 2*placing+loose*span+span*span*span*tightest*tightest/24 {
		return next, false
	}
	heading := math.Atan2(d.y, d.x)
	turned := heading - w.heading
	lag := span
	if w.station < 0 {
		lag = span / 2
	}
	slack := 2 * placing / span
	if turned > tightest*lag+slack || turned < -backward*lag-slack {
		return next, false
	}
	off := (arc(chord, turned, s.radius) - span) / (placing + loose*span)
	next = way{last: to, heading: heading, station: station, at: slices.Clone(w.at), n: w.n + 1,
		// The straighter of two, and that with fewer missing.
		cost: w.cost + 0.15*off*off + float64(station-w.station-1) + 0.5*math.Abs(turned/max(lag, 0.5))}
	next.at[station] = s.index
	return next, true
}

// arc is how long the belly is between two stickers a chord apart, over which a limb turns: longer than the
// chord, and on the inner side of the stickers' middles.
func arc(chord, turned, radius float64) float64 { return chord*(1+turned*turned/24) - radius*turned }

// insert keeps the cheapest ways to each spot.
func insert(layer []way, next way) []way {
	spotOf := func(w way) int { return w.at[w.station] }
	same, worst := 0, -1
	for i, w := range layer {
		if spotOf(w) == spotOf(next) {
			same++
			if worst < 0 || w.cost > layer[worst].cost {
				worst = i
			}
		}
	}
	if same < width {
		return append(layer, next)
	}
	if next.cost < layer[worst].cost {
		layer[worst] = next
	}
	return layer
}
