package graph

import "github.com/charmbracelet/lipgloss"

// Plot is a picture of curves. Its zero value, given a size, is an empty one.
type Plot struct {
	// Width and Height are of everything, axes and labels included. What
	// doesn't fit is left out in this order: the horizontal axis' line, its
	// labels, the vertical axis' labels, the vertical axis.
	Width, Height int

	// X and Y are shown at least. They are widened to hold every reading: none
	// is ever cut off, or drawn where it isn't. Two plots with the same ranges
	// that hold all data are to the same scale.
	X, Y Range

	// YDown lets y grow downward.
	YDown bool

	// YLabel writes a value beside the vertical axis; nil leaves the axis out.
	YLabel func(float64) string

	// YSteps are the steps, increasing, of which the smallest that fits is taken
	// between labelled values. Without them 1, 2 or 5 times a power of ten.
	YSteps []float64

	// LabelWidth is the least width of the vertical axis' labels, so that plots
	// one over another stand in line.
	LabelWidth int

	// XTicks stand under the plot at their true distance; without any, the
	// horizontal axis is left out. A label that would touch one earlier in the
	// list is dropped, its tick stays.
	XTicks []Tick

	// Series lie over each other in this order.
	Series []Series

	// Axis paints axes and labels; Ground paints the blank cells, and whatever
	// Axis or a series' style leaves unset.
	Axis, Ground lipgloss.Style

	// ASCII keeps to plain ASCII characters.
	ASCII bool
}

// The pens' numbers: the blank cells, the axes, then one for each series.
const (
	groundPen = iota
	axisPen
	seriesPen
)

// Render draws the plot: Height lines of exactly Width cells each, without a
// newline at the end. A size of nothing gives nothing.
func (p Plot) Render() string {
	if p.Height <= 0 {
		return ""
	}
	c := newCanvas(max(0, p.Width), p.Height)
	if p.Width > 0 {
		f := p.frame()
		p.drawAxes(c, f)
		for i := range p.Series {
			p.drawSeries(c, f, i)
		}
	}
	return c.render(p.pens())
}

func (p Plot) pens() []pen {
	pens := make([]pen, 0, seriesPen+len(p.Series))
	pens = append(pens, newPen(p.Ground), newPen(p.Axis.Inherit(p.Ground)))
	for _, s := range p.Series {
		pens = append(pens, newPen(s.Style.Inherit(p.Ground)))
	}
	return pens
}

// drawSeries draws the i-th series: its lines, the spikes up to readings that a
// line within one column can't pass through, and the points.
func (p Plot) drawSeries(c *canvas, f frame, i int) {
	s := p.Series[i]
	g := s.Stroke.glyphs(p.ASCII)
	put := func(col, row int, glyph rune) { c.put(f.left+col, row, glyph, seriesPen+i) }
	for _, run := range runs(f.readings[i], f.xs, f.ys) {
		cv := sample(run, f.ys)
		for row, text := range line(cv.edges, f.ys.cells, g) {
			col := cv.first - 1 // the axis character stands before the first
			for _, r := range text {
				if col >= cv.first && r != ' ' {
					put(col, row, r)
				}
				col++
			}
		}
		for k, pk := range cv.peaks {
			if !pk.read {
				continue
			}
			lo, hi := cv.cover(k)
			for row := pk.lo; row < lo; row++ {
				put(cv.first+k, row, g.vertical)
			}
			for row := hi + 1; row <= pk.hi; row++ {
				put(cv.first+k, row, g.vertical)
			}
		}
		if s.Point != 0 {
			mark := oneCell(s.Point, p.ASCII, '*')
			for _, st := range run {
				put(st.col, st.row, mark)
			}
		}
	}
}
