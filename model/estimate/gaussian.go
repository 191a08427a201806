package estimate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// A Figure is an estimate with its 90 % band.
type Figure struct{ Estimate, Low, High float64 }

// around is the figure with a standard deviation.
func around(mean, sd float64) Figure {
	return Figure{Estimate: mean, Low: mean - BandWidth*sd, High: mean + BandWidth*sd}
}

// sd is the standard deviation that the band stands for.
func (f Figure) sd() float64 { return (f.High - f.Low) / 2 / BandWidth }

// through is the figure of a rising function of this one.
func (f Figure) through(of func(float64) float64) Figure {
	return Figure{of(f.Estimate), of(f.Low), of(f.High)}
}

// Doubtful says whether a value lies that far from what was expected.
func (f Figure) Doubtful(value float64) bool {
	return math.Abs(value-f.Estimate) > wildBound*f.sd()
}

// A gaussian is a mean and a square root of the covariance: covariance = root·rootᵀ. The root has one row for
// each value and at least as many columns.
type gaussian struct {
	mean []float64
	root *mat.Dense
}

func (g gaussian) covariance() *mat.SymDense {
	c := mat.NewSymDense(len(g.mean), nil)
	c.SymOuterK(1, g.root)
	return c
}

// from makes the Gaussian of a mean and a covariance. If rounding cost the covariance its positive
// definiteness, from adds a hair to the diagonal; ok is false if that doesn't help.
func from(mean []float64, c *mat.SymDense) (g gaussian, ok bool) {
	var chol mat.Cholesky
	for _, hair := range [...]float64{1e-13, 1e-10, 1e-7} {
		for i := range mean {
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

// reset makes one value independent of the others, with a mean and a standard deviation of its own.
func (g gaussian) reset(i int, mean, sd float64) gaussian {
	_, cols := g.root.Dims()
	g = g.grown(0, 1)
	clear(g.root.RawRowView(i))
	g.root.Set(i, cols, sd)
	g.mean[i] = mean
	return g
}

// grown is a copy with room for more values and columns of the root.
func (g gaussian) grown(values, columns int) gaussian {
	return gaussian{slices.Clone(g.mean), mat.DenseCopyOf(g.root.Grow(values, columns))}
}

// first is the Gaussian of the first values.
func (g gaussian) first(n int) gaussian {
	_, cols := g.root.Dims()
	return gaussian{mean: g.mean[:n:n], root: mat.DenseCopyOf(g.root.Slice(0, n, 0, cols))}
}

// sd is the standard deviation of the figure whose derivative by the values is given.
func (g gaussian) sd(derivative []float64) float64 { return floats.Norm(g.spread(derivative), 2) }

// spread is rootᵀ·derivative: what the figure owes to each column of the root. Its length is the figure's
// standard deviation, and its product with another's their covariance. A derivative may be shorter than the
// values; the rest counts as 0.
func (g gaussian) spread(derivative []float64) []float64 {
	_, cols := g.root.Dims()
	out := make([]float64, cols)
	for i, d := range derivative {
		if d != 0 {
			floats.AddScaled(out, d, g.root.RawRowView(i))
		}
	}
	return out
}

// addTo adds to one value of a covariance.
func addTo(c *mat.SymDense, i, j int, v float64) { c.SetSym(i, j, c.At(i, j)+v) }

func product(a mat.Matrix, v []float64) []float64 {
	var out mat.VecDense
	out.MulVec(a, mat.NewVecDense(len(v), v))
	return out.RawVector().Data
}

// inverse is that of a covariance; ok is false where rounding makes it fail.
func inverse(c *mat.SymDense) (out *mat.SymDense, ok bool) {
	var chol mat.Cholesky
	out = &mat.SymDense{}
	return out, chol.Factorize(c) && chol.InverseTo(out) == nil
}
