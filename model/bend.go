package model

import (
	"math"

	"bendbook/model/measure"
)

// FiniteBend estimates the curvature of a limb at its stations, in 1/in, by finite differences of one row of
// readings; the index is the station's. It is positive where the limb bends towards the string. A station whose
// neighbours were not both read has none, nor have the ends, save that towards the line the limb root itself is a
// known place, at 0.
//
// Stations keep their distance s along the limb, so the mean slope between two of them is asin(Δy/Δs), and the
// curvature at a station is the change of slope over half the way between its neighbours. A reading off by e moves
// it by about 2e/Δs², which is why a flat place must be wide, or the rule fine, to show.
func FiniteBend(from Datum, stations []measure.Length, row []measure.Optional[measure.Length]) []measure.Optional[float64] {
	bend := make([]measure.Optional[float64], len(stations))
	place := func(i int) (s, y float64, ok bool) {
		switch {
		case i == -1 && from == FromLine:
			return 0, 0, true
		case i < 0 || i >= len(stations) || i >= len(row):
			return 0, 0, false
		}
		reading, known := row[i].Get()
		if from == FromString {
			reading = -reading // the string lies straight, so a gap that shrinks is a limb that rises to it
		}
		return float64(stations[i]), float64(reading), known
	}
	for i := range stations {
		s0, y0, inner := place(i - 1)
		s1, y1, here := place(i)
		s2, y2, outer := place(i + 1)
		if inner && here && outer {
			bend[i] = measure.Some((slope(s1, y1, s2, y2) - slope(s0, y0, s1, y1)) / ((s2 - s0) / 2))
		}
	}
	return bend
}

// slope is the mean angle, in radians, of the limb between two of its places with the line.
func slope(s0, y0, s1, y1 float64) float64 {
	return math.Asin(max(-1, min(1, (y1-y0)/(s1-s0))))
}
