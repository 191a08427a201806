package graph

import "math"

// stop is a reading placed on the canvas: its exact position and its cell.
type stop struct {
	x, y     float64
	col, row int
}

// runs places the readings and splits them at the missing ones.
func runs(rs []reading, xs, ys scale) [][]stop {
	var out [][]stop
	open := false
	for _, r := range rs {
		if math.IsNaN(r.y) {
			open = false
			continue
		}
		if !open {
			out, open = append(out, nil), true
		}
		x, y := xs.at(r.x), ys.at(r.y)
		out[len(out)-1] = append(out[len(out)-1], stop{x, y, xs.cell(x), ys.cell(y)})
	}
	return out
}

// curve is one run of readings sampled for drawing. Column first+i is entered at row edges[i] and left at row
// edges[i+1]; peaks[i] are the rows which that column's own readings need besides.
type curve struct {
	first int
	edges []int
	peaks []peak
}

// peak is the highest and the lowest row read within one column.
type peak struct {
	lo, hi int
	read   bool
}

// sample follows straight lines through a run (at least one stop) and notes the
// row at the border between each two columns.
func sample(run []stop, ys scale) curve {
	first, last := run[0], run[len(run)-1]
	cols := last.col - first.col + 1
	c := curve{first: first.col, edges: make([]int, cols+1), peaks: make([]peak, cols)}
	c.edges[0], c.edges[cols] = first.row, last.row
	j := 0
	for i := 1; i < cols; i++ {
		x := float64(first.col+i) - 0.5
		for j < len(run)-2 && run[j+1].x <= x {
			j++
		}
		c.edges[i] = ys.cell(between(run[j], run[j+1], x))
	}
	for _, s := range run {
		p := &c.peaks[s.col-first.col]
		if !p.read {
			*p = peak{s.row, s.row, true}
		}
		p.lo, p.hi = min(p.lo, s.row), max(p.hi, s.row)
	}
	c.bend()
	return c
}

// between returns the height at x of the straight line from a to b.
func between(a, b stop, x float64) float64 {
	if b.x <= a.x {
		return b.y
	}
	t := math.Max(0, math.Min(1, (x-a.x)/(b.x-a.x)))
	return a.y + t*(b.y-a.y)
}

// bend leads the line through a peak narrower than its column, moving only borders to columns without
// readings of their own; what is still missed is left to the spikes that Plot draws.
func (c curve) bend() {
	for i, p := range c.peaks {
		lo, hi := c.cover(i)
		if !p.read || p.lo != p.hi || lo <= p.lo && p.lo <= hi {
			continue
		}
		if i == 0 || !c.peaks[i-1].read {
			c.edges[i] = p.lo
		}
		if i == len(c.peaks)-1 || !c.peaks[i+1].read {
			c.edges[i+1] = p.lo
		}
	}
}

func (c curve) cover(i int) (lo, hi int) {
	a, b := c.edges[i], c.edges[i+1]
	return min(a, b), max(a, b)
}

// Range is a stretch of an axis.
type Range struct{ Min, Max float64 }

// hold widens the range to hold v; what is not finite changes nothing.
func (r Range) hold(v float64) Range {
	if !finite(v) {
		return r
	}
	return Range{math.Min(r.Min, v), math.Max(r.Max, v)}
}

// open makes the range fit to scale by: a single value gets room on both sides, so that flat data lie in the
// middle.
func (r Range) open() Range {
	if r.Min < r.Max {
		return r
	}
	room := math.Max(1, math.Abs(r.Min)/4)
	return Range{r.Min - room, r.Min + room}
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
