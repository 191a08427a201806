package estimate

import "gonum.org/v1/gonum/mat"

// A likelihood is what the readings alone say of the values; its best x solves information·x = vector. It is
// the estimate less the expectation of any stave.
type likelihood struct {
	information *mat.SymDense
	vector      []float64
}

// likelihood takes the expectation out of the estimate. ok is false where the matrices fail, which rounding
// alone could make them do.
func (st State) likelihood() (s likelihood, ok bool) {
	after, ok1 := inverse(st.g.covariance())
	before, ok2 := inverse(st.unread.covariance())
	if !ok1 || !ok2 {
		return likelihood{}, false
	}
	s.vector = product(after, st.g.mean)
	axpy(-1, product(before, st.unread.mean), s.vector)
	before.ScaleSym(-1, before)
	s.information = mat.NewSymDense(len(s.vector), nil)
	s.information.AddSym(after, before)
	return s, true
}

func product(a mat.Matrix, v []float64) []float64 {
	var out mat.VecDense
	out.MulVec(a, mat.NewVecDense(len(v), v))
	return out.RawVector().Data
}

func inverse(c *mat.SymDense) (*mat.SymDense, bool) {
	var chol mat.Cholesky
	if !chol.Factorize(c) {
		return nil, false
	}
	var out mat.SymDense
	if chol.InverseTo(&out) != nil {
		return nil, false
	}
	return &out, true
}
