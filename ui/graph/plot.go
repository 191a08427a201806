package graph

import (
	"unicode/utf8"

	"github.com/charmbracelet/lipgloss"
)

// Plot is a picture of curves. Its zero value, given a size, is an empty one.
type Plot struct {
	// Width and Height are of everything, axes and labels included. What doesn't fit is left out in this
	// order: the horizontal axis' line, its labels, the vertical axis' labels, the vertical axis.
	Width, Height int

	// X and Y are shown at least. They are widened to hold every reading: none is ever cut off, or drawn
	// where it isn't. Two plots with the same ranges that hold all data are to the same scale.
	X, Y Range

	YDown  bool                 // y grows downward
	YLabel func(float64) string // writes a value beside the vertical axis; nil leaves the axis out
	YSteps []float64            // of which the smallest that fits lies between labelled values; increasing

	// XTicks stand under the plot at their true distance; without any, the horizontal axis is left out. A
	// label that would touch one earlier in the list is dropped, its tick stays.
	XTicks []Tick

	Bands  []Band         // behind the series
	Series []Series       // they lie over each other in this order
	Axis   lipgloss.Style // paints axes and labels
}

// Tick is a place on an axis and what is written there, each character one cell wide.
type Tick struct {
	At    float64
	Label string
}

// The styles' numbers: the blank cells, the axes, then one for each series, then one for each band.
const (
	groundPen = iota
	axisPen
	seriesPen
)

// Render draws the plot: Height lines of exactly Width cells each, without a newline at the end.
func (p Plot) Render() string {
	if p.Width <= 0 || p.Height <= 0 {
		return ""
	}
	c, f := newCanvas(p.Width, p.Height), p.frame()
	p.drawAxes(c, f)
	styles := []lipgloss.Style{groundPen: {}, axisPen: p.Axis}
	for i := range p.Bands {
		p.drawBand(c, f, i)
	}
	for i, s := range p.Series {
		p.drawSeries(c, f, i)
		styles = append(styles, s.Style)
	}
	for _, b := range p.Bands {
		styles = append(styles, b.Style)
	}
	return c.render(styles)
}

// drawSeries draws the i-th series: lines, spikes up to readings that a line can't pass through, and points.
func (p Plot) drawSeries(c *canvas, f frame, i int) {
	s := p.Series[i]
	glyphs := s.Stroke.glyphs()
	put := func(col, row int, glyph rune) { c.put(f.left+col, row, glyph, seriesPen+i) }
	for _, run := range runs(f.readings[i], f.xs, f.ys) {
		cv := sample(run, f.ys)
		for row, text := range line(cv.edges, f.ys.cells, glyphs) {
			col := cv.first - 1 // the axis character stands before the first
			for _, r := range text {
				if col >= cv.first && r != ' ' {
					put(col, row, r)
				}
				col++
			}
		}
		for k, peak := range cv.peaks {
			lo, hi := cv.cover(k)
			for row := peak.lo; peak.read && row <= peak.hi; row++ {
				if row < lo || row > hi {
					put(cv.first+k, row, glyphs[1])
				}
			}
		}
		for _, st := range run {
			if s.Point != 0 {
				put(st.col, st.row, s.Point)
			}
		}
	}
}

// frame is a plot's layout: what stands where and to which scale.
type frame struct {
	readings [][]reading
	xs, ys   scale  // over the columns and rows left to the curves
	left     int    // columns before the curves: labels and axis
	labels   []mark // of the vertical axis
	axis     bool   // the vertical axis is drawn
	under    bool   // the horizontal axis' line is drawn
	names    bool   // and the labels under it
}

// mark is a label of the vertical axis and its row.
type mark struct {
	row  int
	text string
}

// The least that is left to the curves before something else gives way.
const (
	leastRows = 3
	leastCols = 8
)

func (p Plot) frame() frame {
	var f frame
	x, y := p.X, p.Y
	for _, s := range p.Series {
		rs := s.readings()
		f.readings = append(f.readings, rs)
		for _, r := range rs {
			x, y = x.hold(r.x), y.hold(r.y)
		}
	}
	rows := p.Height
	if len(p.XTicks) > 0 && p.Height > leastRows {
		f.names = true
		rows--
	}
	if len(p.XTicks) > 0 && p.Height > leastRows+2 {
		f.under = true
		rows--
	}
	f.ys = scale{Range: y.open(), cells: rows, reverse: !p.YDown}
	if p.YLabel != nil {
		width, labels := 0, p.labels(f.ys)
		for _, m := range labels {
			width = max(width, utf8.RuneCountInString(m.text))
		}
		switch {
		case p.Width-width-1 >= leastCols:
			f.axis, f.left, f.labels = true, width+1, labels
		case p.Width-1 >= leastCols:
			f.axis, f.left = true, 1
		}
	}
	f.xs = scale{Range: x.open(), cells: p.Width - f.left}
	return f
}

func (p Plot) labels(ys scale) []mark {
	var out []mark
	taken := make(map[int]bool)
	for _, v := range ys.roundValues(p.YSteps) {
		if row := ys.cell(ys.at(v)); !taken[row] {
			taken[row] = true
			out = append(out, mark{row, p.YLabel(v)})
		}
	}
	return out
}

func (p Plot) drawAxes(c *canvas, f frame) {
	const vertical, right, corner, horizontal, down = '│', '┤', '└', '─', '┬'
	if f.axis {
		for row := range f.ys.cells {
			c.put(f.left-1, row, vertical, axisPen)
		}
		for _, m := range f.labels {
			c.write(f.left-1-utf8.RuneCountInString(m.text), m.row, m.text, axisPen)
			c.put(f.left-1, m.row, right, axisPen)
		}
	}
	if f.under {
		if f.axis {
			c.put(f.left-1, f.ys.cells, corner, axisPen)
		}
		for col := range f.xs.cells {
			c.put(f.left+col, f.ys.cells, horizontal, axisPen)
		}
	}
	if f.names {
		p.drawTicks(c, f, down)
	}
}

// drawTicks marks the ticks and writes their labels under them, each centred but never over the edge.
func (p Plot) drawTicks(c *canvas, f frame, down rune) {
	for _, t := range p.XTicks {
		if t.At < f.xs.Min || t.At > f.xs.Max {
			continue
		}
		col := f.left + f.xs.cell(f.xs.at(t.At))
		if f.under {
			c.put(col, f.ys.cells, down, axisPen)
		}
		width := utf8.RuneCountInString(t.Label)
		at := max(0, min(col-width/2, p.Width-width))
		if c.blank(at-1, at+width+1, p.Height-1) {
			c.write(at, p.Height-1, t.Label, axisPen)
		}
	}
}
