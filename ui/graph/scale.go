package graph

import "math"

// Range is a stretch of an axis. The zero Range means "whatever the data need".
type Range struct{ Min, Max float64 }

// orNothing is the range, or one that holds no value yet where it is the zero Range.
func (r Range) orNothing() Range {
	if r == (Range{}) {
		return Range{math.Inf(1), math.Inf(-1)}
	}
	return r
}

// hold widens the range to hold v; what is not finite changes nothing.
func (r Range) hold(v float64) Range {
	if !finite(v) {
		return r
	}
	return Range{math.Min(r.Min, v), math.Max(r.Max, v)}
}

// open makes the range fit to scale by: some stretch if it held nothing, and room on both sides of a single
// value, so that flat data lie in the middle.
func (r Range) open() Range {
	switch {
	case r.Min > r.Max:
		return Range{0, 1}
	case r.Min < r.Max:
		return r
	}
	room := math.Max(1, math.Abs(r.Min)/4)
	return Range{r.Min - room, r.Max + room}
}

// scale lays a range over a row of cells: Min in the middle of the first cell, Max in the middle of the last.
type scale struct {
	Range
	cells   int
	reverse bool // Max first
}

// at returns where v stands, in cells and parts of cells.
func (s scale) at(v float64) float64 {
	t := (v - s.Min) / (s.Max - s.Min)
	if s.reverse {
		t = 1 - t
	}
	return t * float64(s.cells-1)
}

// cell returns the cell at position pos. Ties go away from the middle, and what is a tie but for float noise
// is one: so a thing and its mirror image land in mirrored cells.
func (s scale) cell(pos float64) int {
	const noise = 1e-9
	middle := float64(s.cells-1) / 2
	half := middle - math.Floor(middle) // 0.5 when no cell is the middle one
	off := math.Floor(math.Abs(pos-middle)+0.5-half+noise) + half
	if pos < middle-noise {
		off = -off
	}
	return max(0, min(s.cells-1, int(math.Round(middle+off))))
}

// roundValues returns the multiples of a step within the scale, at least two cells apart: the smallest of
// steps for which that is so, past the end the last one doubled; or both ends if that leaves fewer than two.
func (s scale) roundValues(steps []float64) (values []float64) {
	if s.cells < 2 {
		return nil
	}
	need, size := 2*(s.Max-s.Min)/float64(s.cells-1), 0.0
	for _, size = range steps {
		if size >= need {
			break
		}
	}
	if size < need {
		size *= math.Exp2(math.Ceil(math.Log2(need / size)))
	}
	const noise = 1e-9
	first := math.Ceil(s.Min/size - noise)
	for i := range s.cells {
		if v := (first + float64(i)) * size; v <= s.Max+noise*size {
			values = append(values, v+0) // +0 turns a negative zero
		}
	}
	if len(values) < 2 {
		return []float64{s.Min, s.Max}
	}
	return values
}
