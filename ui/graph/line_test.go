package graph

import (
	"math"
	"testing"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"
	"github.com/mattn/go-runewidth"
	"pgregory.net/rapid"
)

// TestLineRows: asciigraph gives exactly the rows asked for and passes through
// each border at its row; flat data, one column and one row included.
func TestLineRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		height := rapid.IntRange(1, 60).Draw(t, "height")
		edges := rapid.SliceOfN(rapid.IntRange(0, height-1), 2, 40).Draw(t, "edges")
		rows := line(edges, height, Solid.glyphs(false))
		if len(rows) != height {
			t.Fatalf("%d rows, want %d", len(rows), height)
		}
		for col := range len(edges) - 1 {
			lo, hi := min(edges[col], edges[col+1]), max(edges[col], edges[col+1])
			for row, text := range rows {
				cells := []rune(text)
				drawn := col+1 < len(cells) && cells[col+1] != ' '
				if drawn != (lo <= row && row <= hi) {
					t.Fatalf("column %d row %d drawn: %v, between %d and %d", col, row, drawn, lo, hi)
				}
			}
		}
	})
}

// TestStrokesDiffer: no two strokes share a level line, nor do their glyphs take
// more than a cell; where there is a choice, not even in an East Asian terminal.
func TestStrokesDiffer(t *testing.T) {
	eastAsian := runewidth.NewCondition()
	eastAsian.EastAsianWidth = true
	for _, ascii := range []bool{false, true} {
		seen := make(map[rune]Stroke)
		for _, s := range []Stroke{Solid, Dashed, Dotted, Heavy} {
			g := s.glyphs(ascii)
			if other, ok := seen[g[0]]; ok {
				t.Errorf("strokes %d and %d look alike", s, other)
			}
			seen[g[0]] = s
			for _, r := range g {
				if ansi.StringWidth(string(r)) != 1 {
					t.Errorf("%q is not one cell wide", r)
				}
				if (ascii || s == Dashed || s == Dotted) && eastAsian.RuneWidth(r) != 1 {
					t.Errorf("%q has an ambiguous width", r)
				}
				if ascii && r >= utf8.RuneSelf {
					t.Errorf("%q is not ASCII", r)
				}
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

// TestCellsMirror: values mirrored about the range's middle land in mirrored
// cells, those on the border between two cells above all.
func TestCellsMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cells := rapid.IntRange(2, 200).Draw(t, "cells")
		end := rapid.Float64Range(0.1, 100).Draw(t, "end")
		s := scale{Range{-end, end}, cells, rapid.Bool().Draw(t, "reverse")}
		halves := rapid.IntRange(1, cells-1).Draw(t, "half cells from the middle")
		x := end * float64(halves) / float64(cells-1)
		left, right := s.cell(s.at(-x)), s.cell(s.at(x))
		if left+right != cells-1 {
			t.Fatalf("%v and %v land in %d and %d of %d", -x, x, left, right, cells)
		}
		if off := math.Abs(float64(right) - s.at(x)); off > 0.5+1e-6 {
			t.Fatalf("%v lands %v cells away", x, off)
		}
	})
}

// TestOpen: whatever a range held, it can be scaled by, and still holds it.
func TestOpen(t *testing.T) {
	for _, v := range []float64{0, 3, -3, 1e-300, 1 << 60} {
		r := Range{}.orNothing().hold(v).hold(math.NaN()).hold(math.Inf(1)).open()
		if !(r.Min < r.Max) || v < r.Min || v > r.Max {
			t.Errorf("%v opens to %v", v, r)
		}
	}
	if r := (Range{}).orNothing().open(); r != (Range{0, 1}) {
		t.Errorf("nothing opens to %v", r)
	}
}
