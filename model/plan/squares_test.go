package plan

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestSquaresAreLeast holds the solution to the conditions of Karush, Kuhn & Tucker: no value is negative,
// the sum does not fall along a value that is free, nor along one at its bound into what is allowed.
func TestSquaresAreLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 24).Draw(t, "values")
		number := rapid.Float64Range(-2, 2)
		q := newSquares(make([]float64, n))
		by := make([]float64, n)
		for range n + rapid.IntRange(0, 10).Draw(t, "more residuals") {
			for j := range by {
				by[j] = number.Draw(t, "slope")
			}
			q.add(number.Draw(t, "residual"), by, rapid.Float64Range(0.01, 1).Draw(t, "size"))
		}
		for j := range by {
			clear(by)
			by[j] = 1
			q.add(0, by, 1)
		}
		scale := 1e-5 // where all is nothing, only rounding is left
		for _, r := range q.right {
			scale = math.Max(scale, math.Abs(r))
		}
		x := q.solve()
		for j, v := range x {
			g := q.gradient(x, j)
			switch {
			case v < 0:
				t.Fatalf("value %d is %v", j, v)
			case v == 0 && g > 1e-6*scale, v > 0 && math.Abs(g) > 1e-6*scale:
				t.Fatalf("value %d is %v, the sum falls by %v", j, v, g)
			}
		}
	})
}
