package graph

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/guptarohit/asciigraph"
)

// Series is one curve: readings Y at distances X, in any order. One that is NaN or infinite leaves a gap.
type Series struct {
	X, Y []float64
	Pen
}

// Pen is how a curve is drawn.
type Pen struct {
	Stroke Stroke         // tells series apart without colour
	Point  rune           // drawn over the line wherever a reading was taken; 0 draws none
	Style  lipgloss.Style // paints the cells
}

// Key is a sample of what the pen draws for a legend, three cells wide.
func (p Pen) Key() string {
	line := p.Stroke.glyphs()[0]
	return p.Style.Render(string([]rune{line, cmp.Or(p.Point, line), line}))
}

// reading is one pair of a series; a missing one has y = NaN.
type reading struct{ x, y float64 }

// readings are the series' pairs in order of distance.
func (s Series) readings() []reading {
	rs := make([]reading, len(s.X))
	for i, x := range s.X {
		rs[i] = reading{x, s.Y[i]}
		if !finite(s.Y[i]) {
			rs[i].y = math.NaN()
		}
	}
	slices.SortStableFunc(rs, func(a, b reading) int { return cmp.Compare(a.x, b.x) })
	return rs
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// Band is the range between two series at the same distances. It is shaded behind the curves, as far as the
// plot's ranges reach.
type Band struct {
	Low, High Series
	Style     lipgloss.Style
}

// Shade is what a band is drawn with.
const Shade = '░'

func (p Plot) drawBand(c *canvas, f frame, i int) {
	low, high := p.Bands[i].Low.readings(), p.Bands[i].High.readings()
	for k := range len(low) - 1 {
		if math.IsNaN(low[k].y) || math.IsNaN(low[k+1].y) || math.IsNaN(high[k].y) || math.IsNaN(high[k+1].y) {
			continue
		}
		from, to := f.xs.at(low[k].x), f.xs.at(low[k+1].x)
		for col := f.xs.cell(from); col <= f.xs.cell(to); col++ {
			at := func(ends []reading) int {
				y := between(stop{x: from, y: f.ys.at(ends[k].y)}, stop{x: to, y: f.ys.at(ends[k+1].y)}, float64(col))
				return f.ys.cell(max(-1e6, min(y, 1e6)))
			}
			top, bottom := at(high), at(low)
			for row := min(top, bottom); row <= max(top, bottom); row++ {
				c.put(f.left+col, row, Shade, seriesPen+len(p.Series)+i)
			}
		}
	}
}

// Stroke is the shape of a line; strokes differ in their glyphs, to stay apart without colour.
type Stroke int

// The strokes, the most striking first, and Heavy for a thing that is no curve, such as a fixed part.
const (
	Solid Stroke = iota
	Dashed
	Dotted
	Heavy
)

// glyphs are the characters of a stroke: a line going right, one going up, and the four corners by their
// ends: down right, down left, up right, up left. Dashed and Dotted avoid those of ambiguous East Asian
// width.
func (s Stroke) glyphs() []rune {
	return []rune([]string{Solid: "─│╭╮╰╯", Dashed: "╌╎╌╌╌╌", Dotted: "∙∙∙∙∙∙", Heavy: "━┃┏┓┗┛"}[s])
}

// line has asciigraph draw a curve through the rows at the borders of columns, row 0 at the top. It returns a
// line of text for each row, with one axis character before the first column and blanks at the end cut off.
//
// The rows are whole numbers within 0..height-1 and both bounds are given, so asciigraph's ratio is one, it
// has nothing to round, and flat data keep their rows. It meets neither gaps nor infinities, and never fewer
// than two values, one more than there are columns.
func line(edges []int, height int, glyphs []rune) []string {
	ys := make([]float64, len(edges))
	for i, row := range edges {
		ys[i] = float64(height - 1 - row)
	}
	g := func(i int) string { return string(glyphs[i]) }
	return strings.Split(asciigraph.Plot(ys,
		asciigraph.Height(height-1),
		asciigraph.LowerBound(0),
		asciigraph.UpperBound(float64(height-1)),
		asciigraph.Offset(1),
		asciigraph.YAxisValueFormatter(func(float64) string { return "" }),
		asciigraph.SeriesChars(asciigraph.CharSet{Horizontal: g(0), VerticalLine: g(1),
			ArcDownRight: g(2), ArcDownLeft: g(3), ArcUpRight: g(4), ArcUpLeft: g(5)}),
	), "\n")
}
