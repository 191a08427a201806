package graph

import "github.com/charmbracelet/lipgloss"

// Plot is a picture of curves. Its zero value, given a size, is an empty one.
type Plot struct {
	// Width and Height are of everything, axes and labels included. What doesn't fit is left out in this
	// order: the horizontal axis' line, its labels, the vertical axis' labels, the vertical axis.
	Width, Height int

	// X and Y are shown at least. They are widened to hold every reading: none is ever cut off, or drawn
	// where it isn't. Two plots with the same ranges that hold all data are to the same scale.
	X, Y Range

	YDown      bool                 // y grows downward
	YLabel     func(float64) string // writes a value beside the vertical axis; nil leaves the axis out
	YSteps     []float64            // of which the smallest that fits lies between labelled values; increasing
	LabelWidth int                  // of YLabel's at least, so that plots one over another stand in line

	// XTicks stand under the plot at their true distance; without any, the horizontal axis is left out. A
	// label that would touch one earlier in the list is dropped, its tick stays.
	XTicks []Tick

	Bands  []Band         // behind the series
	Series []Series       // they lie over each other in this order
	Axis   lipgloss.Style // paints axes and labels
	ASCII  bool           // plain ASCII characters only
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
	glyphs := s.Stroke.glyphs(p.ASCII)
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
