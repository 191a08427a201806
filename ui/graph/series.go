package graph

import (
	"cmp"
	"math"
	"slices"

	"github.com/charmbracelet/lipgloss"
)

// Series is one curve: readings Y at distances X.
//
// X should increase, at any spacing; it is sorted if it doesn't. A reading that
// is NaN or infinite is missing: it leaves a gap. A distance that is NaN or
// infinite, or has no partner in Y, is left out as if never taken.
type Series struct {
	X, Y []float64

	// Stroke is the line's shape; it tells series apart without colour.
	Stroke Stroke

	// Point is drawn over the line wherever a reading was taken. Zero draws
	// none. Anything that would not fill exactly one cell becomes '*'.
	Point rune

	// Style paints the series' cells. Only its colours and attributes count,
	// never its size or borders.
	Style lipgloss.Style
}

// Key is a sample of the series for a legend, three cells wide.
func (s Series) Key(ascii bool) string {
	line := s.Stroke.glyphs(ascii).horizontal
	mark := line
	if s.Point != 0 {
		mark = oneCell(s.Point, ascii, '*')
	}
	return newPen(s.Style).draw(string([]rune{line, mark, line}))
}

// reading is one cleaned pair of a series; a missing one has y = NaN.
type reading struct{ x, y float64 }

// readings returns the series' pairs in order of distance, without those that
// stand nowhere, infinite readings turned into missing ones.
func (s Series) readings() []reading {
	n := min(len(s.X), len(s.Y))
	rs := make([]reading, 0, n)
	for i := range n {
		if x, y := s.X[i], s.Y[i]; finite(x) {
			if !finite(y) {
				y = math.NaN()
			}
			rs = append(rs, reading{x, y})
		}
	}
	byDistance := func(a, b reading) int { return cmp.Compare(a.x, b.x) }
	if !slices.IsSortedFunc(rs, byDistance) {
		slices.SortStableFunc(rs, byDistance)
	}
	return rs
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
