package estimate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A posterior is the fit to the readings under a hypothesis, with what a local step would add.
type posterior struct {
	// evidence is the logarithm of the readings' probability, up to what all hypotheses share.
	evidence float64
	// mean is the best fit and cov its covariance.
	mean []float64
	cov  *mat.SymDense
	// score and information are those of a change of the values against the best fit: D being the readings'
	// information, d its vector and S the hypothesis's covariance, d − D·mean and D − D(D+S⁻¹)⁻¹D, which is
	// the score test with nuisances under a Gaussian prior (Rao, Proc. Camb. Phil. Soc. 44 (1948) 50-57).
	score       []float64
	information *mat.Dense
	// left is 1 − (D+S⁻¹)⁻¹D: what the best fit leaves of a change.
	left *mat.Dense
}

// under fits a hypothesis to what the readings show.
func (d likelihood) under(s hypothesis) (u posterior, ok bool) {
	n := len(s.mean)
	var prior, both mat.Cholesky
	if !prior.Factorize(s.cov) {
		return u, false
	}
	var inverse, sum mat.SymDense
	if prior.InverseTo(&inverse) != nil {
		return u, false
	}
	sum.AddSym(d.information, &inverse)
	if !both.Factorize(&sum) {
		return u, false
	}
	off := append([]float64(nil), d.vector...)
	axpy(-1, product(d.information, s.mean), off)
	var shift mat.VecDense
	if both.SolveVecTo(&shift, mat.NewVecDense(n, off)) != nil {
		return u, false
	}
	u.evidence = 0.5*dot(off, shift.RawVector().Data) - 0.5*(both.LogDet()+prior.LogDet())
	u.mean = append([]float64(nil), s.mean...)
	axpy(1, shift.RawVector().Data, u.mean)
	axpy(-1, product(d.information, shift.RawVector().Data), off)
	u.score = off
	u.cov = &mat.SymDense{}
	if both.InverseTo(u.cov) != nil {
		return u, false
	}
	// The product of two dense matrices is fast in BLAS, that of symmetric ones is not.
	u.left, u.information = mat.DenseCopyOf(u.cov), mat.DenseCopyOf(d.information)
	u.left.Mul(u.left, u.information)
	u.left.Scale(-1, u.left)
	for i := range n {
		u.left.Set(i, i, u.left.At(i, i)+1)
	}
	u.information.Mul(u.information, u.left)
	return u, true
}

// step is the size of a change along a direction, given values of some consecutive knots from first on: its
// posterior mean and variance when it was expected to be of size spread, and the logarithm of the likelihood
// ratio, averaged over those sizes, against no such change.
func (u posterior) step(first int, direction []float64, spread float64) (mean, variance, ratio float64) {
	score, information := 0.0, 0.0
	for i, a := range direction {
		if a == 0 {
			continue
		}
		score += a * u.score[first+i]
		for j, b := range direction {
			information += a * b * u.information.At(first+i, first+j)
		}
	}
	information = math.Max(information, 0)
	variance = 1 / (information + 1/(spread*spread))
	return score * variance, variance, 0.5*score*score*variance - 0.5*math.Log1p(information*spread*spread)
}
