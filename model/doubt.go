package model

import (
	"math"

	"bendbook/model/measure"
)

// A doubt is a reason to ask whether a value was read and typed right. The bounds are this project's own:
// honest work seldom trips them, a rule held a whole inch off does.

// FarFromEarlier reports whether a station's reading moved further from the earlier one in the same pose than
// scraping moves it: ½ in plus 3 % of the reading.
func FarFromEarlier(now, earlier measure.Length) bool {
	return math.Abs(float64(now-earlier)) > 0.5+0.03*math.Abs(float64(earlier))
}

// Place is a reading at a distance from the root.
type Place struct{ At, Reading measure.Length }

// FarFromNeighbours reports whether a reading lies further off the straight line through the next two
// stations inward, inner and nearest, than a limb can bend on the way. It also returns the value on that
// line. A limb that bends to a radius of 16 in leaves its tangent by Δ²/32 over the distance Δ.
func FarFromNeighbours(inner, nearest, now Place) (expected measure.Length, far bool) {
	span := float64(nearest.At - inner.At)
	on := float64(now.At - nearest.At)
	if span <= 0 || on <= 0 {
		return 0, false
	}
	slope := float64(nearest.Reading-inner.Reading) / span
	// The tangent at nearest is not the chord's: the chord lags by half a span of bend.
	bound := 0.375 + on*(on+span)/32
	line := float64(nearest.Reading) + slope*on
	return measure.Length(line), math.Abs(float64(now.Reading)-line) > bound
}

// FarFromEarlierPeak reports whether a peak differs from the one at the same draw in an earlier pass by more
// than scraping explains: scraping adds no weight, and a pass seldom takes a third of it.
func FarFromEarlierPeak(now, earlier measure.Force) bool {
	return float64(now) > 1.05*float64(earlier)+1 || float64(now) < 0.65*float64(earlier)-1
}

// Sawtooth reports whether two peaks of one pass contradict each other: a longer draw never weighs less.
func Sawtooth(shorter, longer Pull) bool {
	a, aKnown := shorter.Peak.Get()
	b, bKnown := longer.Peak.Get()
	return aKnown && bKnown && longer.Draw > shorter.Draw && b < a
}
