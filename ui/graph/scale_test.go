package graph

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

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
	for _, v := range []float64{0, 3, -3, 1e-300, 1 << 60, math.MaxFloat64, -math.MaxFloat64} {
		r := nothing().hold(v).hold(math.NaN()).hold(math.Inf(1)).open()
		if !(r.Min < r.Max) || v < r.Min || v > r.Max || !finite(r.Min) || !finite(r.Max) {
			t.Errorf("%v opens to %v", v, r)
		}
	}
	if r := nothing().open(); r != (Range{0, 1}) {
		t.Errorf("nothing opens to %v", r)
	}
	whole := Range{-math.MaxFloat64, math.MaxFloat64}
	if t0, t1, t2 := whole.within(whole.Min), whole.within(0), whole.within(whole.Max); t0 != 0 || t1 != 0.5 || t2 != 1 {
		t.Errorf("over all there is: %v %v %v", t0, t1, t2)
	}
}
