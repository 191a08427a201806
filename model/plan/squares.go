package plan

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// squares is a linear least squares problem in values that can't be negative, by its normal equations.
type squares struct {
	at     []float64
	normal *mat.SymDense
	right  []float64
}

// newSquares is the problem without residuals; those to come are given at the values at.
func newSquares(at []float64) *squares {
	return &squares{at: at, normal: mat.NewSymDense(len(at), nil), right: make([]float64, len(at))}
}

// add adds a residual with its value and derivative, scaled by its size.
func (q *squares) add(value float64, by []float64, size float64) {
	for j, d := range by {
		value -= d * q.at[j]
	}
	weight := 1 / (size * size)
	q.normal.SymRankOne(q.normal, weight, mat.NewVecDense(len(by), by))
	for j, d := range by {
		q.right[j] -= weight * d * value
	}
}

// solve finds the values of the least sum, by the active set method of Lawson & Hanson (Solving Least
// Squares Problems, 1974, chapter 23). The residuals must determine all values.
func (q *squares) solve() []float64 {
	n := len(q.right)
	x := make([]float64, n)
	free := make([]bool, n)
	tolerance := 1e-12
	for _, v := range q.right {
		tolerance = math.Max(tolerance, 1e-10*math.Abs(v))
	}
	// Each round frees one value; the limit keeps rounding from cycling.
	for range 3 * n {
		best, steepest := -1, tolerance
		for j := range x {
			if !free[j] {
				if g := q.gradient(x, j); g > steepest {
					best, steepest = j, g
				}
			}
		}
		if best < 0 {
			break
		}
		free[best] = true
		for q.settle(x, free) {
		}
	}
	return x
}

// gradient is how fast half the sum falls as x[j] grows.
func (q *squares) gradient(x []float64, j int) float64 {
	g := q.right[j]
	for k, v := range x {
		g -= q.normal.At(j, k) * v
	}
	return g
}

// settle moves x towards the minimum over its free values, to the first bound on the way if there is one. It
// then fixes the value there and returns true.
func (q *squares) settle(x []float64, free []bool) bool {
	var at []int
	for j, f := range free {
		if f {
			at = append(at, j)
		}
	}
	if len(at) == 0 {
		return false
	}
	part, right := mat.NewSymDense(len(at), nil), mat.NewVecDense(len(at), nil)
	for i, p := range at {
		right.SetVec(i, q.right[p])
		for k, r := range at[i:] {
			part.SetSym(i, i+k, q.normal.At(p, r))
		}
	}
	var chol mat.Cholesky
	var best mat.VecDense
	if !chol.Factorize(part) || chol.SolveVecTo(&best, right) != nil {
		return false
	}
	share, bound := 1.0, -1
	for i, p := range at {
		if v := best.AtVec(i); v < 0 {
			if s := x[p] / (x[p] - v); bound < 0 || s < share {
				share, bound = s, p
			}
		}
	}
	for i, p := range at {
		x[p] += share * (best.AtVec(i) - x[p])
	}
	if bound < 0 {
		return false
	}
	x[bound], free[bound] = 0, false
	return true
}
