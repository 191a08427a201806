package strung

// A Solution is one strung bow in equilibrium. It belongs to the caller: hand the same one to the Solver
// again and it becomes the start of the next search.
type Solution struct {
	// Draw is the distance of the hook from the line (length).
	Draw float64
	// Force is the scale force: both halves of the string across the line (force).
	Force float64
	// Energy is what the limbs store: Σ ½·B·(κ − κ₀)² ds (force·length).
	Energy float64
	// Work is the work from the braced bow to this draw; for a long string, from where its slack is taken up
	// (force·length). It is the difference of the stored energies.
	Work float64
	// StringLength is the length of the string between the nocks (length).
	StringLength float64
	// Braced tells whether the string braces the bow; Brace is then the height of the braced string at the
	// middle of the handle (length), and 0 for a long string.
	Braced bool
	Brace  float64
	// Upper and Lower are the limbs, each in its own outward frame.
	Upper, Lower LimbState

	x       unknowns
	tangent [4]float64
	version uint64
	owner   *Solver
	slack   bool // whether this is the start itself, with no pull on the hook
}

// A LimbState is one limb of a strung bow. The slices have one value for each node of the solver's grid, from
// the root (0) to the nock.
type LimbState struct {
	// Tension of this half of the string (force) and its angle with the line (rad).
	Tension, StringAngle float64
	// NockX and NockY are the place of the nock (length), NockSlope the slope of the limb there (rad).
	NockX, NockY, NockSlope float64
	// RootMoment is the bending moment where the limb leaves the handle (force·length).
	RootMoment float64
	// S is the distance from the root along the limb, X and Y the place of the belly (length).
	S, X, Y []float64
	// Slope is θ (rad); Bend is κ − κ₀ (1/length); Moment is B·(κ − κ₀) (force·length).
	Slope, Bend, Moment []float64
}

// fill writes the bow that was last found sound into sol.
func (s *Solver) fill(sol *Solution, draw float64, x unknowns, tangent [4]float64) {
	b := &s.start
	sol.x, sol.tangent, sol.version, sol.owner = x, tangent, s.version, s
	sol.Draw, sol.StringLength, sol.Braced, sol.Brace = draw, b.length, b.braced, b.brace
	sol.Energy = s.traces[0].energy + s.traces[1].energy
	sol.Work = sol.Energy - b.energy
	sol.Force = 0
	for i, limb := range [...]*LimbState{&sol.Upper, &sol.Lower} {
		e := &s.ends[i]
		sol.Force += e.tension * e.sin
		limb.fill(&s.chains[i], e, &s.traces[i], s.handle)
	}
}

// fill turns a trace from the frame along the string into the limb's own.
func (l *LimbState) fill(c *chain, e *end, tr *trace, handle float64) {
	n := len(tr.phi)
	for _, p := range [...]*[]float64{&l.S, &l.X, &l.Y, &l.Slope, &l.Bend, &l.Moment} {
		*p = sized(*p, n)
	}
	l.Tension, l.StringAngle = e.tension, e.phi
	l.NockX, l.NockY, l.NockSlope = handle/2+e.x, e.y, e.nockPhi-e.phi
	l.RootMoment = e.tension * e.d
	for i := range n {
		j := n - 1 - i
		along, across := e.e-tr.e[j], e.d-tr.d[j]
		l.S[i] = c.at(j)
		l.X[i] = handle/2 + along*e.cos + across*e.sin
		l.Y[i] = across*e.cos - along*e.sin
		l.Slope[i] = tr.phi[j] - e.phi
		l.Moment[i] = e.tension * tr.d[j]
		l.Bend[i] = l.Moment[i] / c.nodeStiffness[j]
	}
}
