package strung

import "math"

// A system is a linear system of four unknowns, so small that a general solver would cost more in calls than
// in arithmetic.
type system struct {
	a    [4][4]float64 // the matrix, then its factors
	perm [4]int
	det  float64 // determinant of the factored matrix
}

// factor replaces the matrix by its triangular factors; false for a singular one.
func (m *system) factor() bool {
	m.det, m.perm = 1, [4]int{0, 1, 2, 3}
	for k := range 4 {
		row := k
		for i := k + 1; i < 4; i++ {
			if math.Abs(m.a[i][k]) > math.Abs(m.a[row][k]) {
				row = i
			}
		}
		if pivot := math.Abs(m.a[row][k]); !(pivot > 0) || math.IsInf(pivot, 0) {
			return false
		}
		if row != k {
			m.a[k], m.a[row] = m.a[row], m.a[k]
			m.perm[k], m.perm[row] = m.perm[row], m.perm[k]
			m.det = -m.det
		}
		m.det *= m.a[k][k]
		for i := k + 1; i < 4; i++ {
			f := m.a[i][k] / m.a[k][k]
			m.a[i][k] = f
			for j := k + 1; j < 4; j++ {
				m.a[i][j] -= f * m.a[k][j]
			}
		}
	}
	return true
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
		x[i] /= m.a[i][i]
	}
	return x
}
