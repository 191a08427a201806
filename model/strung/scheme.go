package strung

// The symmetric fourth-order splitting S6 of Blanes & Moan, "Practical symplectic partitioned Runge–Kutta and
// Runge–Kutta–Nyström methods", J. Comput. Appl. Math. 142 (2002) 313–330, table 2 (coefficients from memory;
// the order is checked by test).
const kicksPerSegment = 6

const (
	runA1 = 0.0792036964311957
	runA2 = 0.353172906049774
	runA3 = -0.0420650803577195
	runA4 = 1 - 2*(runA1+runA2+runA3)

	turnB1 = 0.209515106613362
	turnB2 = -0.143851773179818
	turnB3 = 0.5 - (turnB1 + turnB2)
)

// runs are the straight runs as fractions of the segment; run j comes before turn j.
func runs() [kicksPerSegment + 1]float64 {
	return [...]float64{runA1, runA2, runA3, runA4, runA3, runA2, runA1}
}

// turns are the weights of the turns as fractions of the segment.
func turns() [kicksPerSegment]float64 {
	return [...]float64{turnB1, turnB2, turnB3, turnB3, turnB2, turnB1}
}
