package strung

// Readings are what a rule, a square and a block would show on the upper and on the lower limb, and the
// shapes behind them, at the stations set by [Solver.SetPlaces].
type Readings [2]LimbReadings

// LimbReadings are those of one limb. Each slice has one value for each station: Block for those of
// LimbPlaces.BlockAt, the others for those of LimbPlaces.At.
type LimbReadings struct {
	// X is the place along the line, in the limb's own outward frame (length).
	X []float64
	// Line is the distance of the belly from the line, y(s) (length).
	Line []float64
	// Bend is κ − κ₀, the curvature that the draw put there (1/length).
	Bend []float64
	// Gap is the distance from the belly to this half of the string, square to the string (length).
	Gap []float64
	// Relaxed is the distance of the unstrung limb from the line (length).
	Relaxed []float64
	// Block is the gap at the middle of a straight block of length b laid along the belly: ∫ κ(s+t)·½·(b/2 −
	// |t|) dt, which is b²/8 times the mean of κ under a triangle over the block (length).
	Block []float64
}

// Read gives the readings of a solution of this bow, and refuses one of another.
func (s *Solver) Read(sol *Solution, r *Readings) error {
	if err := s.relax(sol); err != nil {
		return err
	}
	s.traceBoth(sol.x)
	for i := range r {
		r[i].read(&s.places[i], &s.ends[i], &s.traces[i], s.handle)
	}
	return nil
}

// relax finds the unstrung limbs at the stations, for a solution of this bow.
func (s *Solver) relax(sol *Solution) error {
	if sol.owner != s || sol.version != s.version {
		return &Error{Err: errStale}
	}
	for i := range s.places {
		s.places[i].relax(s.version, &s.chains[i], &s.traces[i], &s.sens[i])
	}
	return nil
}

func (r *LimbReadings) read(p *placed, e *end, tr *trace, handle float64) {
	for _, v := range [...]*[]float64{&r.X, &r.Line, &r.Bend, &r.Gap, &r.Relaxed} {
		*v = sized(*v, len(p.at))
	}
	for i := range p.at {
		sp := &p.at[i]
		d := sp.of(tr.d, tr.sin)
		along, across := e.e-sp.of(tr.e, tr.cos), e.d-d
		r.X[i] = handle/2 + along*e.cos + across*e.sin
		r.Line[i] = across*e.cos - along*e.sin
		r.Bend[i] = e.tension * d / sp.stiff
		r.Gap[i] = d
	}
	copy(r.Relaxed, p.relaxed)
	r.Block = sized(r.Block, len(p.blocks))
	for i := range p.blocks {
		b := &p.blocks[i]
		r.Block[i] = b[0].of(tr.area, tr.phi) - (b[1].of(tr.area, tr.phi)+b[2].of(tr.area, tr.phi))/2
	}
}
