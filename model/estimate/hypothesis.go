package estimate

import (
	"gonum.org/v1/gonum/mat"

	"bendbook/model"
)

// A hypothesis is a Gaussian for a stave that could have been read: a mean and a covariance of the values.
type hypothesis struct {
	mean []float64
	cov  *mat.SymDense
}

// suppose is an even stave of a kind: stiffness about even, the logarithms at both limbs' knots, and rest
// bend and string as of any stave. Steps that were found already are free.
func (st State) suppose(even [2][]float64, k kind, found [2][]candidate, unread *mat.SymDense) hypothesis {
	f, n := st.frame, st.frame.len()
	s := hypothesis{mean: append([]float64(nil), st.unread.mean...), cov: mat.NewSymDense(n, nil)}
	for _, side := range model.Sides {
		first := f.stiffness(side)
		copy(s.mean[first:first+knotsPerLimb], even[side])
		addCurve(s.cov, first, f.knots[side], k.evenStiffness())
		for _, m := range found[side] {
			for i := range knotsPerLimb {
				for j := i; j < knotsPerLimb; j++ {
					addTo(s.cov, first+i, first+j, foundStep*foundStep*m.rise[i]*m.rise[j])
				}
			}
		}
	}
	stiff := func(i int) bool { return i < 4*knotsPerLimb && i/knotsPerLimb%2 == 0 }
	for i := range n {
		for j := i; j < n; j++ {
			if !stiff(i) && !stiff(j) {
				s.cov.SetSym(i, j, unread.At(i, j))
			}
		}
	}
	// Less rough rest bend, its level, slope and bow as ever: the straightest limb takes a set, and most of
	// it in its middle. A kind that denied it would be ruled out by the set, and with it the straight limb.
	less := limbRest()
	less.level, less.slope, less.bow = 0, 0, 0
	for _, side := range model.Sides {
		first, knots := f.rest(side), f.knots[side]
		for i, u := range knots {
			for j := i; j < knotsPerLimb; j++ {
				addTo(s.cov, first+i, first+j, -(1-k.rest*k.rest)*less.at(u, knots[j], knots[knotsPerLimb-1]))
			}
		}
	}
	for i := range n {
		s.cov.SetSym(i, i, s.cov.At(i, i)*(1+1e-9))
	}
	return s
}
