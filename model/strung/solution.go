package strung

import "math"

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
	// Braced says whether the string braces the bow; Brace is then the height of the braced string at the
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

// A LimbState is one limb of a strung bow.
type LimbState struct {
	// Tension of this half of the string (force).
	Tension float64
	// NockX and NockY are the place of the nock (length), NockSlope the slope of the limb there (rad).
	NockX, NockY, NockSlope float64
	// RootMoment is the bending moment where the limb leaves the handle (force·length).
	RootMoment float64
}

// Brace solves the bow as it hangs braced, with no pull on the hook. A long string has no braced bow: sol is
// then the bow at rest at the draw where its string is just taut. Errors are those of the string:
// [ErrBraceLow], [ErrBraceHigh], [ErrStringShort], [ErrTouch], [ErrFolded], [ErrUnsteady], [ErrNotConverged].
func (s *Solver) Brace(sol *Solution) error {
	if err := s.begin(); err != nil {
		return err
	}
	s.traceBoth(s.start.x)
	s.fill(sol, s.start.draw, s.start.x)
	sol.Force, sol.Work, sol.slack = 0, 0, true
	return nil
}

// Draw solves the bow drawn until the hook stands at the given draw (length). What sol held before serves as
// the first guess. After an error sol is unchanged.
//
// Errors are those of [Solver.Brace] and [ErrSlack], [ErrReach], [ErrFolded], [ErrTouch], [ErrNotConverged];
// the first three carry the limit.
func (s *Solver) Draw(draw float64, sol *Solution) error {
	if math.IsNaN(draw) || math.Abs(draw) > maxMagnitude {
		return inputError("draw", "must be a length, not %v", draw)
	}
	if err := s.begin(); err != nil {
		return err
	}
	switch slack := slight * s.size; {
	case draw < s.start.draw-slack:
		return limited(ErrSlack, "", draw, s.start.draw)
	case draw < s.start.draw+slack:
		return s.Brace(sol)
	}
	s.patience.spent = 0
	t := target{closing: drawn, value: draw, length: s.start.length}
	if sol.version != 0 && !sol.slack {
		guess := s.apply(sol.x, sol.tangent, draw-sol.Draw)
		if x, ok := s.newton(t, guess); ok && nearby(x, guess, mostSurprise) && s.accept(t, &x) == nil {
			s.fill(sol, draw, x)
			return nil
		}
	}
	x, err := s.approach(t)
	if err != nil {
		return s.patience.verdict(err)
	}
	s.fill(sol, draw, x)
	return nil
}

// fill writes the bow that was last found sound into sol.
func (s *Solver) fill(sol *Solution, draw float64, x unknowns) {
	b := &s.start
	energy := s.traces[0].energy + s.traces[1].energy
	*sol = Solution{
		Draw: draw, Energy: energy, Work: energy - b.energy,
		StringLength: b.length, Braced: b.braced, Brace: b.brace,
		x: x, tangent: s.tangent, version: s.version, owner: s,
	}
	for i, limb := range [...]*LimbState{&sol.Upper, &sol.Lower} {
		e := &s.ends[i]
		sol.Force += e.tension * e.sin
		limb.fill(e, s.handle)
	}
}

func (l *LimbState) fill(e *end, handle float64) {
	*l = LimbState{Tension: e.tension, RootMoment: e.tension * e.d,
		NockX: handle/2 + e.x, NockY: e.y, NockSlope: e.nockPhi - e.phi}
}
