package graph

import "math"

// Tick is a place on an axis and what is written there.
type Tick struct {
	At    float64
	Label string
}

// step returns the smallest of steps (positive, increasing) that is at least
// need; past the end the last one doubled as often as needed. Without steps it
// takes 1, 2 or 5 times a power of ten.
func step(need float64, steps []float64) float64 {
	if len(steps) == 0 {
		ten := math.Pow(10, math.Floor(math.Log10(need)))
		for _, k := range []float64{1, 2, 5} {
			if k*ten >= need {
				return k * ten
			}
		}
		return 10 * ten
	}
	for _, s := range steps {
		if s >= need {
			return s
		}
	}
	last := steps[len(steps)-1]
	return last * math.Exp2(math.Ceil(math.Log2(need/last)))
}

// roundValues returns the multiples of a step that lie within the scale, at
// least two cells apart. If that leaves fewer than two, it returns both ends:
// with one value alone nobody can read a scale.
func (s scale) roundValues(steps []float64) []float64 {
	const apart = 2
	if s.cells < 2 {
		return nil
	}
	ends := []float64{s.Min, s.Max}
	size := step(apart*(s.Max-s.Min)/float64(s.cells-1), steps)
	if !finite(size) || size <= 0 {
		return ends
	}
	const noise = 1e-9
	k := math.Ceil(s.Min/size - noise)
	var out []float64
	for i := range s.cells {
		v := (k + float64(i)) * size
		if v > s.Max+noise*size || !finite(v) {
			break
		}
		out = append(out, v+0) // +0 turns a negative zero
	}
	if len(out) < 2 {
		return ends
	}
	return out
}
