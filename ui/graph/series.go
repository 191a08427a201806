package graph

import (
	"cmp"
	"math"
	"slices"

	"github.com/charmbracelet/lipgloss"
)

// Series is one curve: readings Y at distances X, in any order. One that is NaN or infinite leaves a gap.
type Series struct {
	X, Y   []float64
	Stroke Stroke         // tells series apart without colour
	Point  rune           // drawn over the line wherever a reading was taken; 0 draws none
	Style  lipgloss.Style // paints the cells
}

// Key is a sample of the series for a legend, three cells wide.
func (s Series) Key(ascii bool) string {
	line := s.Stroke.glyphs(ascii)[0]
	return s.Style.Render(string([]rune{line, cmp.Or(s.Point, line), line}))
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
