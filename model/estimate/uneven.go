package estimate

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"bendbook/model"
)

// unevenness is how unevenly the middle of a limb bends: the standard deviation of bend over the aim along
// it, over its mean; the zero Figure where nothing there is compared with the aim.
//
// Its square is a sum of squares of Gaussian values, and taken for a gamma variable of the same mean and
// variance (Satterthwaite, Biometrics Bulletin 2 (1946) 110-114); the estimate is its median.
func (l *limbCourse) unevenness(g gaussian, length float64) Figure {
	at, _ := l.parted(middleFrom*length, middleTo*length)
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

// mean is how much more than the aim a limb bends in the mean between two places, at the scale of all of the
// limb that is compared; the zero Figure where nothing there is.
func (l *limbCourse) mean(g gaussian, from, to float64) Figure {
	at, _ := l.parted(from, to)
	if len(at) == 0 || l.scale == 0 {
		return Figure{}
	}
	n := float64(len(at))
	by := make([]float64, len(l.scaleBy))
	sum, open := 0.0, 0.0
	for _, i := range at {
		share := l.bend[i] / (l.scale * l.aim[i]) / n
		sum += share
		floats.AddScaled(by, share, l.by[i])
		floats.AddScaled(by, -share, l.scaleBy)
		for _, j := range at {
			open += l.open[i] * l.open[j] * max(1-math.Abs(l.at[i]-l.at[j])/openReach, 0) / (n * n)
		}
	}
	return around(sum-1, math.Hypot(g.sd(by), math.Sqrt(open)))
}

// An Unsure is a stretch of a limb where the readings can't show whether it bends evenly.
type Unsure struct {
	Side     model.Side
	From, To float64 // from the root (in)
	// Hidden is the size of a flat over [HiddenWidth] that four times of five would have been found anywhere
	// there, as a fraction that it bends less than the aim.
	Hidden float64
}

// Unsure are the stretches of both limbs where the readings can't show a finding of the least size at a draw
// (in). The error wraps [ErrUnsolved] or [ErrDraw].
func (st State) Unsure(draw float64, a Aim) ([]Unsure, error) {
	c, err := st.course(draw, a, [2][]float64{})
	if err != nil {
		return nil, err
	}
	even, err := st.even(draw, a)
	if err != nil {
		return nil, err
	}
	data, ok := st.likelihood()
	if !ok {
		return nil, nil
	}
	straight, ok := data.under(st.suppose(even, kinds()[0], [2][]candidate{}, st.unread.covariance()))
	if !ok {
		return nil, nil
	}
	var all []Unsure
	for _, side := range model.Sides {
		end := a.ComparedTo(st.bow.Limbs[side].Length)
		for from := 0.0; from+HiddenWidth <= end; from++ {
			if c[side].unsure(st, from, from+HiddenWidth) <= unsureFrom {
				continue
			}
			if n := len(all); n == 0 || all[n-1].Side != side || from > all[n-1].To {
				all = append(all, Unsure{Side: side, From: from})
			}
			last := &all[len(all)-1]
			last.To = from + HiddenWidth
			last.Hidden = max(last.Hidden, st.hidden(straight, side, from, last.To, end))
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
	l.addMean(by, 1, within)
	l.addMean(by, -1, outside)
	return st.g.sd(by)
}

// hidden is the size of a flat between two places of a limb, compared as far as end, that would have been
// found on a straight stave.
func (st State) hidden(straight posterior, side model.Side, from, to, end float64) float64 {
	knots := st.frame.knots[side]
	_, variance, _ := straight.step(st.frame.stiffness(side), nearest(knots, share(knots, from, to)))
	information := 1/variance - 1/(stepSize*stepSize)
	if !(information > 0) {
		return 1
	}
	return -math.Expm1(-foundFrom/math.Sqrt(information)) * (1 - (to-from)/end)
}

// An Evenness is how a bow bends and what it weighs at a draw, and its tiller when braced.
type Evenness struct {
	Limbs [2]Bending
	// Uneven is the standard deviation of bend over the aim along the middle of each limb, over its mean;
	// the zero Figure where nothing there is compared.
	Uneven [2]Figure
	Weight Forecast
	Tiller Figure // as [State.Tiller] tells it
}

// Evenness is that at a draw (in): the bend at places along both limbs, the tiller at one place. It finds
// for two bows on a string what [State.Bending], [State.Forecast] and [State.Tiller] find for three. The
// error wraps [ErrUnsolved], [ErrDraw] or [ErrInput].
func (st State) Evenness(draw float64, a Aim, at [2][]float64, tillerAt float64) (e Evenness, err error) {
	c, err := st.course(draw, a, at)
	if err != nil {
		return e, err
	}
	for _, s := range model.Sides {
		e.Limbs[s] = c[s].bending(st, s, len(at[s]))
		e.Uneven[s] = c[s].unevenness(st.g, st.bow.Limbs[s].Length)
	}
	p, err := st.probe(0, placesAt([]float64{tillerAt}, []float64{tillerAt}))
	if err != nil {
		return e, err
	}
	e.Tiller = p.tiller(0)
	if err := p.draw(draw); err != nil {
		return e, err
	}
	e.Weight = p.forecast(draw)
	return e, nil
}
