package estimate

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"bendbook/model"
)

const (
	// The middle of a limb, as shares of it: nearer the root and the nock every limb bends less.
	middleFrom = 0.1
	middleTo   = 0.8
	// openReach is the range of what the knots can't show (in), about the way between two of them.
	openReach = 4.0
)

// Unevenness is how unevenly each limb bends at a draw (in): the standard deviation of bend over the aim
// along the middle of the limb, over its mean; the zero Figure where nothing there is compared with the aim.
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
	at, _ := l.parted(from, to)
	n := len(at)
	if n < 2 {
		return Figure{}
	}
	share := make([]float64, n) // bend over aim, over the mean of that
	for k, i := range at {
		share[k] = l.bend[i] / l.aim[i]
	}
	floats.Scale(float64(n)/floats.Sum(share), share)
	common := make([]float64, len(g.mean))
	for k, i := range at {
		floats.AddScaled(common, share[k]/float64(n), l.by[i])
	}
	_, cols := g.root.Dims()
	spread := mat.NewDense(n, cols, nil)
	off := mat.NewVecDense(n, nil)
	own := make([]float64, len(common))
	for k, i := range at {
		floats.Scale(share[k], floats.SubTo(own, l.by[i], common))
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
	size := float64(n)
	return rootGamma((mat.Dot(off, off)+mat.Trace(&cov))/size,
		(2*square*square+4*mat.Inner(off, &cov, off))/(size*size))
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

// An Unsure is a stretch of a limb where the readings can't show whether it bends evenly.
type Unsure struct {
	Side     model.Side
	From, To float64 // from the root (in)
}

const (
	unsureWidth = 6.0 // of the places looked at (in)
	// unsureFrom is the standard deviation of a deviation from which on a flat of leastSize can't be told from
	// an even limb nine times in ten.
	unsureFrom = 0.6 * leastSize
)

// Unsure are the stretches of both limbs where the readings can't show a finding of the least size at a draw
// (in). The error wraps [ErrUnsolved] or [ErrDraw].
func (st State) Unsure(draw float64, a Aim) ([]Unsure, error) {
	c, err := st.course(draw, a, [2][]float64{})
	if err != nil {
		return nil, err
	}
	var all []Unsure
	for _, side := range model.Sides {
		end := a.ComparedTo(st.bow.Limbs[side].Length)
		for from := 0.0; from+unsureWidth <= end; from++ {
			if c[side].unsure(st, from, from+unsureWidth) <= unsureFrom {
				continue
			}
			if n := len(all); n == 0 || all[n-1].Side != side || from > all[n-1].To {
				all = append(all, Unsure{Side: side, From: from})
			}
			all[len(all)-1].To = from + unsureWidth
		}
	}
	return all, nil
}

// unsure is how unsure a place's bend is against that of the rest of the compared limb (sd of the log).
func (l *limbCourse) unsure(st State, from, to float64) float64 {
	within, outside := l.parted(from, to)
	if len(within) == 0 || len(outside) == 0 {
		return math.Inf(1)
	}
	by := make([]float64, st.frame.len())
	for _, i := range within {
		floats.AddScaled(by, 1/float64(len(within)), l.by[i])
	}
	for _, i := range outside {
		floats.AddScaled(by, -1/float64(len(outside)), l.by[i])
	}
	return st.g.sd(by)
}
