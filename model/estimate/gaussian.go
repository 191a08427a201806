package estimate

import (
	"math"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// A Gaussian is a mean and a square root of the covariance: covariance = root·rootᵀ. The root has one row for
// each value and at least as many columns.
type gaussian struct {
	mean []float64
	root *mat.Dense
}

// covariance is root·rootᵀ.
func (g gaussian) covariance() *mat.SymDense {
	c := mat.NewSymDense(len(g.mean), nil)
	c.SymOuterK(1, g.root)
	return c
}

// from is the Gaussian of a mean and a covariance. A covariance that rounding has left not quite positive is
// helped by a hair on its diagonal; ok is false where that does not do.
func from(mean []float64, c *mat.SymDense) (g gaussian, ok bool) {
	n := len(mean)
	var chol mat.Cholesky
	for _, hair := range [...]float64{1e-13, 1e-10, 1e-7} {
		for i := range n {
			c.SetSym(i, i, c.At(i, i)*(1+hair)+1e-300)
		}
		if chol.Factorize(c) {
			var l mat.TriDense
			chol.LTo(&l)
			return gaussian{mean: mean, root: mat.DenseCopyOf(&l)}, true
		}
	}
	return gaussian{}, false
}

// addTo adds to one value of a covariance.
func addTo(c *mat.SymDense, i, j int, v float64) { c.SetSym(i, j, c.At(i, j)+v) }

// sd is the standard deviation of the figure whose derivative by the values is given; it may be shorter than
// the values, the rest being 0.
func (g gaussian) sd(derivative []float64) float64 {
	return norm(g.spread(derivative))
}

// spread is rootᵀ·derivative: what the figure owes to each column of the root. Its length is the figure's
// standard deviation, and its product with another's their covariance.
func (g gaussian) spread(derivative []float64) []float64 {
	_, cols := g.root.Dims()
	out := make([]float64, cols)
	for i, d := range derivative {
		if d != 0 {
			axpy(d, g.root.RawRowView(i), out)
		}
	}
	return out
}

func norm(v []float64) float64 { return math.Sqrt(dot(v, v)) }

func dot(a, b []float64) float64 {
	return blas64.Dot(blas64.Vector{N: len(a), Data: a, Inc: 1}, blas64.Vector{N: len(b), Data: b, Inc: 1})
}

// axpy adds a·x to y.
func axpy(a float64, x, y []float64) {
	blas64.Axpy(a, blas64.Vector{N: len(x), Data: x, Inc: 1}, blas64.Vector{N: len(y), Data: y, Inc: 1})
}
