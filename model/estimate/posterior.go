package estimate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"bendbook/model"
)

// A likelihood is what the readings alone say of the values, the estimate less the prior; its best x solves
// information·x = vector.
type likelihood struct {
	information *mat.SymDense
	vector      []float64
}

// likelihood is that of the readings so far; ok is false where rounding makes the matrices fail.
func (st State) likelihood() (d likelihood, ok bool) {
	after, ok1 := inverse(st.g.covariance())
	before, ok2 := inverse(st.unread.covariance())
	if !ok1 || !ok2 {
		return likelihood{}, false
	}
	d.vector = product(after, st.g.mean)
	floats.Sub(d.vector, product(before, st.unread.mean))
	before.ScaleSym(-1, before)
	after.AddSym(after, before)
	d.information = after
	return d, true
}

// suppose is the prior of an even stave of a kind: log stiffness at both limbs' knots about even, rest bend
// and string by the covariance of any stave, unread. Steps that were found before are free.
func (st State) suppose(even [2][]float64, k kind, found [2][]candidate, unread *mat.SymDense) (
	mean []float64, cov *mat.SymDense,
) {
	f, n := st.frame, st.frame.len()
	mean, cov = slices.Clone(st.unread.mean), mat.NewSymDense(n, nil)
	stiff := func(i int) bool { return i < f.brace() && i/knotsPerLimb%2 == 0 }
	for i := range n {
		for j := i; j < n; j++ {
			if !stiff(i) && !stiff(j) {
				cov.SetSym(i, j, unread.At(i, j))
			}
		}
	}
	for _, side := range model.Sides {
		first, rest, knots := f.stiffness(side), f.rest(side), f.knots[side]
		copy(f.stiffnesses(side, mean), even[side])
		addCurve(cov, first, knots, k.evenStiffness())
		// Only the roughness of rest bend is less, not its level, slope and bow: even the straightest limb
		// takes a set, most of it in its middle, which would else rule out all straight kinds.
		less := curve{rough: limbRest().rough, reach: limbRest().reach}
		for i, u := range knots {
			for j := i; j < knotsPerLimb; j++ {
				for _, m := range found[side] {
					addTo(cov, first+i, first+j, foundStep*foundStep*m.rise[i]*m.rise[j])
				}
				addTo(cov, rest+i, rest+j, k.bumpy*k.bumpy*matern(u-knots[j], bumpReach)-
					(1-k.rest*k.rest)*less.at(u, knots[j], knots[knotsPerLimb-1]))
			}
		}
	}
	for i := range n {
		cov.SetSym(i, i, cov.At(i, i)*(1+1e-9))
	}
	return mean, cov
}

// A posterior is the fit of an even stave of a kind to the readings, and what a local step would add.
type posterior struct {
	evidence float64 // logarithm of the readings' probability, up to what all kinds share
	mean     []float64
	cov      *mat.SymDense
	// score and information are those of a change of the values against the best fit: D being the readings'
	// information, d its vector and S the kind's covariance, d − D·mean and D − D(D+S⁻¹)⁻¹D, which is the
	// score test with nuisances under a Gaussian prior (Rao, Proc. Camb. Phil. Soc. 44 (1948) 50-57).
	score       []float64
	information *mat.Dense
	// left is 1 − (D+S⁻¹)⁻¹D: what the best fit leaves of a change.
	left *mat.Dense
}

// under fits a stave of a mean and a covariance to what the readings show; ok is false where rounding makes
// it fail.
func (d likelihood) under(mean []float64, cov *mat.SymDense) (u posterior, ok bool) {
	var prior, both mat.Cholesky
	var inverse, sum mat.SymDense
	if !prior.Factorize(cov) || prior.InverseTo(&inverse) != nil {
		return u, false
	}
	sum.AddSym(d.information, &inverse)
	u.score = slices.Clone(d.vector)
	floats.Sub(u.score, product(d.information, mean))
	var shift mat.VecDense
	u.cov = &mat.SymDense{}
	if !both.Factorize(&sum) || both.SolveVecTo(&shift, mat.NewVecDense(len(mean), u.score)) != nil ||
		both.InverseTo(u.cov) != nil {
		return u, false
	}
	by := shift.RawVector().Data
	u.evidence = 0.5*floats.Dot(u.score, by) - 0.5*(both.LogDet()+prior.LogDet())
	u.mean = floats.AddTo(make([]float64, len(mean)), mean, by)
	floats.Sub(u.score, product(d.information, by))
	// The product of two dense matrices is fast in BLAS, that of symmetric ones is not.
	u.left, u.information = mat.DenseCopyOf(u.cov), mat.DenseCopyOf(d.information)
	u.left.Mul(u.left, u.information)
	u.left.Scale(-1, u.left)
	for i := range mean {
		u.left.Set(i, i, u.left.At(i, i)+1)
	}
	u.information.Mul(u.information, u.left)
	return u, true
}

// step is the size of a change along a direction of the values from first on: its posterior mean and variance
// where its size was expected to be 0 with a standard deviation of stepSize, and the logarithm of the
// likelihood ratio, averaged over those sizes, against no change.
func (u posterior) step(first int, direction []float64) (mean, variance, ratio float64) {
	last := first + len(direction)
	score := floats.Dot(direction, u.score[first:last])
	along := mat.NewVecDense(len(direction), direction)
	information := max(mat.Inner(along, u.information.Slice(first, last, first, last), along), 0)
	variance = 1 / (information + 1/(stepSize*stepSize))
	return score * variance, variance, 0.5*score*score*variance - 0.5*math.Log1p(information*stepSize*stepSize)
}
