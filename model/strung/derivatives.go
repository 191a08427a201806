package strung

import "gonum.org/v1/gonum/mat"

// Columns says which column of a derivative belongs to which parameter, by limb, the upper first. A block of
// columns has one for each knot, from the root to the nock.
type Columns struct {
	// Stiffness and Rest are the first columns of the derivatives with respect to the natural logarithm of
	// stiffness at the knots, and with respect to rest bend (1/length).
	Stiffness, Rest [2]int
	// String is the column of the string's length, or of its brace height where the string is given by that.
	// All other columns hold that one fixed.
	String int
	// Draw is the column of the draw. It is 0 throughout for the braced bow, whose draw is not free.
	Draw int
	// Len is the number of columns.
	Len int
}

// Derivatives are the derivatives of a solution and of its readings, exact for the discretised bow. Every
// slice has Columns.Len values, one for each parameter; every matrix a row for each station and a column for
// each parameter. A matrix is nil where there are no stations.
type Derivatives struct {
	Columns Columns
	// Force and Work as in [Solution].
	Force, Work []float64
	// StringLength and Brace as in [Solution]: of the two, the one that is given changes only with its own
	// column. Brace is 0 for a long string.
	StringLength, Brace []float64
	// Limbs are those of the readings.
	Limbs [2]limbDerivatives
}

// limbDerivatives are those of one limb; see [LimbReadings].
type limbDerivatives struct {
	Line, Bend, Gap, Relaxed, Block *mat.Dense
}

// columns are those of the derivatives of this bow.
func (s *Solver) columns() Columns {
	u, l := len(s.chains[0].limb.At), len(s.chains[1].limb.At)
	n := 2 * (u + l)
	return Columns{Stiffness: [2]int{0, 2 * u}, Rest: [2]int{u, 2*u + l}, String: n, Draw: n + 1, Len: n + 2}
}

// differentiate traces both limbs for the unknowns x and finds how they change, at the root and where asked
// for next to the stations too.
func (s *Solver) differentiate(x unknowns, stations bool) {
	s.traceBoth(x)
	for i := range s.sens {
		v, o := &s.sens[i], &s.ends[i]
		var needed []bool
		if stations {
			needed = s.places[i].needed
		}
		v.find(&s.chains[i], &s.traces[i], o.tension, needed)
		root := len(v.angle) - 1
		o.setChanges(&v.angle[root], &v.tension[root])
	}
}

// eachKnot calls do for the column of each parameter of both limbs, the p-th of limb i, with its direct
// change of the limb's outcome and the right side of the equations in s.by: what that asks of the unknowns.
func (s *Solver) eachKnot(do func(col, i, p int, rhs [4]float64, direct outcome)) {
	col := 0
	for i := range s.ends {
		v := &s.sens[i]
		root := len(v.angle) - 1
		phi, d, e := v.row(root, byPhi), v.row(root, byD), v.row(root, byE)
		for p := range phi {
			direct := s.ends[i].turned(&change{phi[p], d[p], e[p]})
			var rhs [4]float64
			for k := range rhs {
				rhs[k] = -s.by[k].along(i, &direct)
			}
			do(col, i, p, rhs, direct)
			col++
		}
	}
}
