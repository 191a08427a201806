package strung

import "math"

// A system is a linear system of four unknowns, so small that a general solver would cost more in calls than
// in arithmetic.
type system struct {
	a    [4][4]float64 // the matrix, then its factors
	over [4]float64    // one over the diagonal of the factors
	perm [4]int
	odd  bool // whether the permutation is odd
}

// factor replaces the matrix by its triangular factors; false for a singular one.
func (m *system) factor() bool {
	m.odd, m.perm = false, [4]int{0, 1, 2, 3}
	for k := range 4 {
		best, row := 0.0, -1
		for i := k; i < 4; i++ {
			if v := math.Abs(m.a[i][k]); v > best {
				best, row = v, i
			}
		}
		if row < 0 || math.IsInf(best, 0) {
			return false
		}
		if row != k {
			m.a[k], m.a[row] = m.a[row], m.a[k]
			m.perm[k], m.perm[row] = m.perm[row], m.perm[k]
			m.odd = !m.odd
		}
		m.over[k] = 1 / m.a[k][k]
		for i := k + 1; i < 4; i++ {
			f := m.a[i][k] * m.over[k]
			m.a[i][k] = f
			for j := k + 1; j < 4; j++ {
				m.a[i][j] -= f * m.a[k][j]
			}
		}
	}
	return true
}

// positive tells whether the determinant of the factored matrix is positive.
func (m *system) positive() bool {
	odd := m.odd
	for i := range 4 {
		if m.a[i][i] < 0 {
			odd = !odd
		}
	}
	return !odd
}

// solve gives the x of a·x = b for the factored matrix.
func (m *system) solve(b [4]float64) (x [4]float64) {
	for i := range 4 {
		x[i] = b[m.perm[i]]
		for j := range i {
			x[i] -= m.a[i][j] * x[j]
		}
	}
	for i := 3; i >= 0; i-- {
		for j := i + 1; j < 4; j++ {
			x[i] -= m.a[i][j] * x[j]
		}
		x[i] *= m.over[i]
	}
	return x
}
