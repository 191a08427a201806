package graph

import "math"

// Range is a stretch of an axis. The zero Range means "whatever the data need".
type Range struct{ Min, Max float64 }

// nothing is the range that holds no value yet.
func nothing() Range { return Range{math.Inf(1), math.Inf(-1)} }

// hold widens the range to hold v; what is not finite changes nothing.
func (r Range) hold(v float64) Range {
	if !finite(v) {
		return r
	}
	return Range{math.Min(r.Min, v), math.Max(r.Max, v)}
}

// open makes the range fit to scale by: some stretch if it held nothing, and
// room on both sides of a single value, so that flat data lie in the middle.
func (r Range) open() Range {
	switch {
	case r.Min > r.Max:
		return Range{0, 1}
	case r.Min < r.Max:
		return r
	}
	room := math.Max(1, math.Abs(r.Min)/4)
	return Range{
		math.Max(r.Min-room, -math.MaxFloat64),
		math.Min(r.Max+room, math.MaxFloat64),
	}
}

// within returns how far along the range v lies, 0 at Min and 1 at Max.
func (r Range) within(v float64) float64 {
	span := r.Max - r.Min
	if math.IsInf(span, 0) { // the ends are finite, their distance isn't
		return (v/2 - r.Min/2) / (r.Max/2 - r.Min/2)
	}
	return (v - r.Min) / span
}

// scale lays a range over a row of cells: Min in the middle of the first cell,
// Max in the middle of the last.
type scale struct {
	Range
	cells   int
	reverse bool // Max first
}

// at returns where v stands, in cells and parts of cells.
func (s scale) at(v float64) float64 {
	t := s.within(v)
	if s.reverse {
		t = 1 - t
	}
	return t * float64(s.cells-1)
}

// cell returns the cell at position pos. Ties go away from the middle, and what
// is a tie but for float noise is one: so a thing and its mirror image land in
// mirrored cells.
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
