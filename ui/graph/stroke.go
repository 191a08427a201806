package graph

import (
	"strings"

	"github.com/guptarohit/asciigraph"
)

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
func (s Stroke) glyphs(ascii bool) []rune {
	all := map[Stroke]string{Solid: "─│╭╮╰╯", Dashed: "╌╎╌╌╌╌", Dotted: "∙∙∙∙∙∙", Heavy: "━┃┏┓┗┛"}
	if ascii {
		all = map[Stroke]string{Solid: "-|..''", Dashed: "::::::", Dotted: "......", Heavy: "######"}
	}
	return []rune(all[s])
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
