package graph

import (
	"strings"

	"github.com/guptarohit/asciigraph"
)

// line has asciigraph draw a curve through the rows at the borders of columns,
// row 0 at the top. It returns one line of text for each row, with one axis
// character before the first column and blanks at the end cut off.
//
// The rows are whole numbers within 0..height-1 and both bounds are given, so
// asciigraph's ratio is exactly one, it has nothing to round, and flat data keep
// their rows. It meets neither gaps nor infinities, and never fewer than two
// values, one more than there are columns.
func line(edges []int, height int, g glyphs) []string {
	ys := make([]float64, len(edges))
	for i, row := range edges {
		ys[i] = float64(height - 1 - row)
	}
	return strings.Split(asciigraph.Plot(ys,
		asciigraph.Height(height-1),
		asciigraph.LowerBound(0),
		asciigraph.UpperBound(float64(height-1)),
		asciigraph.Offset(1),
		asciigraph.YAxisValueFormatter(func(float64) string { return "" }),
		asciigraph.SeriesChars(g.charSet()),
	), "\n")
}
