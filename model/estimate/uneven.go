package estimate

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"bendbook/model"
)

// The middle of a limb, as shares of it: nearer the root and the nock every limb bends less.
const (
	middleFrom = 0.1
	middleTo   = 0.8
)

// openReach is how far what the knots can't show goes together (in), about the way between two of them.
const openReach = 4.0

// Unevenness is how unevenly each limb bends at a draw (in), by Side: the standard deviation of bend over the
// aim along the middle of the limb, over its mean. A limb that is compared with the aim nowhere there has the
// zero Figure.
//
// Its square is a sum of squares of Gaussian values, and taken for a gamma variable of the same mean and
// variance (Satterthwaite, Biometrics Bulletin 2 (1946) 110-114); the estimate is its median. The error wraps
// [ErrUnsolved] or [ErrDraw].
func (st State) Unevenness(draw float64, a Aim) (both [2]Figure, err error) {
	c, err := st.course(draw, a, [2][]float64{})
	if err != nil {
		return both, err
	}
	for _, side := range model.Sides {
		length := st.bow.Limbs[side].Length
		both[side] = c[side].unevenness(st.g, middleFrom*length, middleTo*length)
	}
	return both, nil
}

// unevenness is that of the compared part of a limb between two places.
func (l *limbCourse) unevenness(g gaussian, from, to float64) Figure {
	var share []float64 // bend over aim, over the mean of that
	var at []int
	mean := 0.0
	for i := l.grid; i < len(l.at); i++ {
		if l.compared[i] && l.at[i] >= from && l.at[i] <= to {
			at = append(at, i)
			share = append(share, l.bend[i]/l.aim[i])
			mean += l.bend[i] / l.aim[i]
		}
	}
	n := len(at)
	if n < 2 {
		return Figure{}
	}
	mean /= float64(n)
	common := make([]float64, len(g.mean))
	for k, i := range at {
		share[k] /= mean
		axpy(share[k]/float64(n), l.by[i], common)
	}
	_, cols := g.root.Dims()
	spread := mat.NewDense(n, cols, nil)
	own := make([]float64, len(common))
	off := mat.NewVecDense(n, nil)
	for k, i := range at {
		for j, d := range l.by[i] {
			own[j] = share[k] * (d - common[j])
		}
		spread.SetRow(k, g.spread(own))
		off.SetVec(k, share[k]-1)
	}
	var cov mat.Dense
	cov.Mul(spread, spread.T())
	for k, i := range at {
		for m, j := range at {
			alike := max(1-math.Abs(l.at[i]-l.at[j])/openReach, 0)
			cov.Set(k, m, cov.At(k, m)+share[k]*share[m]*l.open[i]*l.open[j]*alike)
		}
	}
	square := mat.Norm(&cov, 2)
	known := mat.Dot(off, off)
	size := float64(n)
	return rootGamma((known+mat.Trace(&cov))/size, (2*square*square+4*mat.Inner(off, &cov, off))/(size*size))
}

// rootGamma is the root of a gamma variable of a mean and variance, with its 90 % band about the median.
func rootGamma(mean, variance float64) Figure {
	if !(mean > 0 && variance > 0) {
		root := math.Sqrt(max(mean, 0))
		return Figure{root, root, root}
	}
	gamma := distuv.Gamma{Alpha: mean * mean / variance, Beta: mean / variance}
	at := func(p float64) float64 { return math.Sqrt(gamma.Quantile(p)) }
	return Figure{Estimate: at(0.5), Low: at(0.05), High: at(0.95)}
}
