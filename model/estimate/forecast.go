package estimate

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"bendbook/model"
	"bendbook/model/strung"
)

// A Forecast is what the bow will do at a draw.
type Forecast struct {
	Draw   float64 // of the hook from the belly line (in)
	Force  Figure  // on the scale (lbf)
	Energy Figure  // the work from brace to that draw (lbf·in)
}

// Forecast draws the bow as estimated to each of the draws (in). It leaves out a draw that is out of reach or
// at which the string would be slack. The error wraps [ErrUnsolved] where the bow can't even be braced.
func (st State) Forecast(draws ...float64) ([]Forecast, error) {
	p, err := st.probe(0, strung.Places{})
	if err != nil {
		return nil, err
	}
	var all []Forecast
	for _, draw := range draws {
		if p.draw(draw) == nil {
			all = append(all, p.forecast(draw))
		}
	}
	return all, nil
}

// forecast is that of the draw that the bow stands at. It allows for the set still to come by that draw.
func (p *probe) forecast(draw float64) Forecast {
	return Forecast{
		Draw:   draw,
		Force:  p.wooden(draw, p.sol.Force, p.slopes.Force, p.st.g.sd(p.own(p.slopes.Force))),
		Energy: p.wooden(draw, p.sol.Work, p.slopes.Work, p.st.g.sd(p.own(p.slopes.Work))),
	}
}

// shown is what the scale shows at the draw that the bow stands at, where that is read as in the last pass:
// by the same mark, on the same support, come to in the same way. What these make of the readings they make
// of the next pull too.
func (p *probe) shown(draw float64) Figure {
	s := p.st.shared
	if s == nil {
		return p.forecast(draw).Force
	}
	by := make([]float64, len(p.st.pulled.mean))
	x, force, byDraw := p.st.pulled.mean, p.sol.Force, p.slopes.Force[p.slopes.Columns.Draw]
	own := 1 - byDraw*x[s.support]
	floats.AddScaled(by[:p.st.frame.len()], own, p.own(p.slopes.Force))
	by[s.offset], by[s.support], by[s.direction] = byDraw, -byDraw*force, force
	force += byDraw*(x[s.offset]-x[s.support]*force) + x[s.direction]*force
	return p.wooden(draw, force, p.slopes.Force, p.st.pulled.sd(by))
}

// wooden is a figure that is never negative, with the band of its logarithm, so that no edge is negative
// either, once the set by a draw has come, widened as the state says. Close to the brace, where the figure
// vanishes and its error does not, the upper edge goes on in proportion to the error, for a logarithm's would
// be beyond all numbers.
func (p *probe) wooden(draw, mean float64, derivative []float64, sd float64) Figure {
	if !(mean > 0) {
		return Figure{}
	}
	come := max(p.st.bow.SetShare(draw)-p.st.bow.SetShare(p.st.longest), 0)
	bySet := come * (p.st.frame.bySet(derivative) + p.give*derivative[p.st.frame.brace()]) / mean
	set := p.st.FirstSet()
	share := cmp.Or(p.st.wide, 1) * math.Hypot(sd/mean, math.Hypot(forecastError, bySet*set.sd()))
	share = math.Hypot(share, p.st.bow.GainError)
	mean *= math.Exp(bySet * set.Estimate)
	beyond := mean * max(share-1, 0)
	return Figure{
		Estimate: mean,
		Low:      mean * math.Exp(-BandWidth*share),
		High:     mean*math.Exp(BandWidth*min(share, 1)) + BandWidth*beyond,
	}
}

// Expect predicts a reading of a pass that goes on, before it is typed: on a long string, with the pulls on
// it so far, or else on the last that braced the bow. The figure's band is that of the reading itself, its
// own error included. The error wraps [ErrInput], [ErrUnsolved] or [ErrDraw].
func (st State) Expect(w Where, on Hang) (Figure, error) {
	m := &predictor{bow: st.bow, frame: st.frame, taken: none, lasting: st.frame.len()}
	if !on.Long {
		on = Hang{}
	}
	h := m.hang(on, true)
	m.share()
	g, tilt := h.group(w.Draw), none
	if w.Kind == Line && st.bow.Errors.Tilt > 0 {
		tilt = m.extra(0, st.bow.Errors.Tilt)
	}
	m.add(g, w, 0, tilt)
	if m.err != nil || len(m.rows) == 0 {
		return Figure{}, cmp.Or(m.err, ErrInput) // without a row it is a block that lies on nothing
	}
	x := slices.Clone(st.g.mean)
	for _, e := range m.extras {
		x = append(x, e.mean)
	}
	if err := m.try(x); err != nil {
		return Figure{}, err
	}
	r := m.rows[0]
	if r.out {
		return Figure{}, ErrDraw
	}
	if w.Kind == Peak {
		r.sd = st.bow.peakError(r.predicted, w.Draw, true)
	}
	core := st.frame.len()
	sd := math.Hypot(st.g.sd(r.slope[:core]), r.sd)
	for i, e := range m.extras {
		sd = math.Hypot(sd, e.sd*r.slope[core+i])
	}
	return around(r.predicted, sd), nil
}

// StringFor is the length between the nocks (in) of the string that braces the bow to a height (in), 0 for
// the usual one. The error wraps [ErrUnsolved].
func (st State) StringFor(brace float64) (Figure, error) {
	if brace == 0 {
		brace = st.bow.usualBrace()
	}
	p := &probe{st: st}
	err := unsolved(p.set(st.frame.strung(st.bow, st.g.mean), strung.ByBrace(brace)))
	if err == nil {
		err = p.draw(0)
	}
	if err != nil {
		return Figure{}, err
	}
	by := slices.Clone(p.own(p.slopes.StringLength))
	by[st.frame.brace()] = 0
	return around(p.sol.StringLength, st.g.sd(by)), nil
}

// Tiller is the upper limb's gap to the string less the lower's (in), braced, at each of the places, as
// distances from the roots. It refuses a place beyond either nock. The error wraps [ErrUnsolved] or
// [ErrInput].
func (st State) Tiller(at ...float64) ([]Figure, error) {
	p, err := st.probe(0, placesAt(at, at))
	if err != nil {
		return nil, err
	}
	all := make([]Figure, len(at))
	for i := range at {
		all[i] = p.tiller(i)
	}
	return all, nil
}

// tiller is that at a place which both limbs are read at, and tillerBy its derivative by the lasting values.
func (p *probe) tiller(i int) Figure {
	return around(p.read[model.Upper].Gap[i]-p.read[model.Lower].Gap[i], p.st.g.sd(p.tillerBy(i)))
}

func (p *probe) tillerBy(i int) []float64 {
	by := slices.Clone(p.own(p.slopes.Limbs[model.Upper].Gap.RawRowView(i)))
	floats.Sub(by, p.own(p.slopes.Limbs[model.Lower].Gap.RawRowView(i)))
	return by
}

// follow is the string follow now (in).
func (st State) follow() (Figure, error) {
	upper, lower := st.bow.Limbs[model.Upper].Length, st.bow.Limbs[model.Lower].Length
	p, err := st.probe(0, placesAt([]float64{upper}, []float64{lower}))
	if err != nil {
		return Figure{}, err
	}
	by := make([]float64, st.frame.len())
	mean := 0.0
	for s := range p.read {
		mean += p.read[s].Relaxed[0] / 2
		floats.AddScaled(by, 0.5, p.own(p.slopes.Limbs[s].Relaxed.RawRowView(0)))
	}
	return around(mean, st.g.sd(by)), nil
}

// Follow is the string follow, the distance of the unstrung nocks from the line as the mean of both limbs
// (in), negative for reflex, and the set: its growth since the first pass with a relaxed reading. known is
// false before that. The set's band is on the wide side. The error wraps [ErrUnsolved].
func (st State) Follow() (now, set Figure, known bool, err error) {
	now, err = st.follow()
	if err != nil || st.first == nil {
		return now, set, false, err
	}
	return now, around(now.Estimate-st.first.Estimate, math.Hypot(now.sd(), st.first.sd())), true, nil
}

// SetSince is the longest draw by the end of the first pass with a relaxed reading (in), from which on the
// set of [State.Follow] grew; 0 where it is not known.
func (st State) SetSince() float64 { return st.setSince }
