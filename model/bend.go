package model

import (
	"math"

	"bendbook/model/measure"
)

// FiniteBend estimates the curvature of a limb at its stations, in 1/in, by finite differences of one row of
// readings. It is positive where the limb bends towards the string. A station's neighbours are the next ones
// on either side at least apart from it, since close ones magnify the rule's error. A station has no bend
// unless it and both neighbours were read. Measured from the line, the limb root is a known neighbour, at 0.
//
// Stations keep their distance s along the limb, so the mean slope between two of them is asin(Δy/Δs), and
// the curvature at a station is the change of slope over half the way between its neighbours.
func FiniteBend(from Datum, stations []measure.Length, row []measure.Optional[measure.Length],
	apart measure.Length) []measure.Optional[float64] {
	bend := make([]measure.Optional[float64], len(stations))
	read := func(i int) (y float64, ok bool) {
		if i == root {
			return 0, true
		}
		if i >= len(row) {
			return 0, false
		}
		reading, known := row[i].Get()
		if from == FromString {
			reading = -reading // the string is straight, so where the gap shrinks the limb bends towards it
		}
		return float64(reading), known
	}
	for i := range stations {
		inner, outer, ok := neighbours(from, stations, i, apart)
		if !ok {
			continue
		}
		y0, innerRead := read(inner)
		y1, hereRead := read(i)
		y2, outerRead := read(outer)
		if innerRead && hereRead && outerRead {
			s0, s1, s2 := place(stations, inner), place(stations, i), place(stations, outer)
			bend[i] = measure.Some((slope(s1, y1, s2, y2) - slope(s0, y0, s1, y1)) / ((s2 - s0) / 2))
		}
	}
	return bend
}

// BendError is the standard deviation of FiniteBend at each station, in 1/in, from independent reading errors
// with standard deviation sd; 0 where there is no bend. It holds for gentle slopes: a reading's weight in the
// second divided difference is 1/Δ₁, 1/Δ₁ + 1/Δ₂ or 1/Δ₂, over half of Δ₁ + Δ₂. With even
// steps that is sd·√6/Δ².
func BendError(from Datum, stations []measure.Length, apart measure.Length, sd measure.Length) []float64 {
	spread := make([]float64, len(stations))
	for i := range stations {
		inner, outer, ok := neighbours(from, stations, i, apart)
		if !ok {
			continue
		}
		in, out := place(stations, i)-place(stations, inner), place(stations, outer)-place(stations, i)
		nearest := 1 / in
		if inner == root {
			nearest = 0 // the root is no reading
		}
		weights := nearest*nearest + (1/in+1/out)*(1/in+1/out) + 1/(out*out)
		spread[i] = float64(sd) * math.Sqrt(weights) / ((in + out) / 2)
	}
	return spread
}

// root is the index of the limb root where it serves as a station.
const root = -1

// neighbours are the nearest stations on either side that lie at least apart from station i; ok is false
// where there are none. Measured from the line, the root counts as one.
func neighbours(from Datum, stations []measure.Length, i int, apart measure.Length) (in, out int, ok bool) {
	in, out = i-1, i+1
	for in >= 0 && stations[i]-stations[in] < apart {
		in--
	}
	for out < len(stations) && stations[out]-stations[i] < apart {
		out++
	}
	return in, out, out < len(stations) && (in >= 0 || from == FromLine)
}

// place is a station's distance from the root, in inches.
func place(stations []measure.Length, i int) float64 {
	if i == root {
		return 0
	}
	return float64(stations[i])
}

// slope is the mean angle, in radians, of the limb between two of its places with the line.
func slope(s0, y0, s1, y1 float64) float64 {
	return math.Asin(max(-1, min(1, (y1-y0)/(s1-s0))))
}
