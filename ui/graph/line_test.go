package graph

import (
	"math"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/mattn/go-runewidth"
)

// TestStrokesDiffer: no two strokes share a level line, nor do their glyphs take
// more than a cell; where there is a choice, not even in an East Asian terminal.
func TestStrokesDiffer(t *testing.T) {
	eastAsian := runewidth.NewCondition()
	eastAsian.EastAsianWidth = true
	seen := make(map[rune]Stroke)
	for _, s := range []Stroke{Solid, Dashed, Dotted, Heavy} {
		g := s.glyphs()
		if other, ok := seen[g[0]]; ok {
			t.Errorf("strokes %d and %d look alike", s, other)
		}
		seen[g[0]] = s
		for _, r := range g {
			if ansi.StringWidth(string(r)) != 1 {
				t.Errorf("%q is not one cell wide", r)
			}
			if (s == Dashed || s == Dotted) && eastAsian.RuneWidth(r) != 1 {
				t.Errorf("%q has an ambiguous width", r)
			}
		}
	}
}

func TestRoundValues(t *testing.T) {
	quarters := []float64{0.25, 0.5, 1, 2, 3, 6}
	for _, c := range []struct {
		name  string
		scale scale
		steps []float64
		want  []float64
	}{
		{"the smallest step that leaves a row between", scale{Range{0, 9}, 9, false}, quarters, []float64{0, 3, 6, 9}},
		{"every second row", scale{Range{0, 9}, 19, false}, quarters, []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}},
		{"beyond the largest step", scale{Range{0, 48}, 6, false}, quarters, []float64{0, 24, 48}},
		{"both sides of zero", scale{Range{-1, 1}, 9, false}, quarters, []float64{-1, -0.5, 0, 0.5, 1}},
		{"the ends when nothing round is inside", scale{Range{3.1, 3.2}, 9, false}, quarters, []float64{3.1, 3.2}},
		{"one row", scale{Range{0, 9}, 1, false}, quarters, nil},
	} {
		got := c.scale.roundValues(c.steps)
		if len(got) != len(c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
			continue
		}
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 1e-12*math.Abs(c.want[i]) {
				t.Errorf("%s: %v, want %v", c.name, got, c.want)
				break
			}
		}
	}
}
