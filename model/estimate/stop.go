package estimate

import (
	"math"
	"sort"

	"bendbook/model"
	"bendbook/model/section"
	"bendbook/model/strung"
)

// Limits are what the next pull must not pass, 0 where there is no limit.
type Limits struct {
	Weight float64 // wanted on the tree (lbf)
	Draw   float64 // ordered, of the hook from the belly line (in)
	Strain float64 // what the wood's surface stands; it needs measured widths and depths
}

// A reason says what limits the next pull.
type reason uint8

// The reasons.
const (
	ByStep   reason = iota // nothing was read so far beyond the longest pull
	ByWeight               // the peak may reach the weight wanted
	ByOrder                // the ordered draw
	ByStrain               // the surface strain
	ByReach                // the estimated bow can't be drawn farther
)

// A Stop is the stop line of the next pull.
type Stop struct {
	// Forecast is of the longest draw allowed, its force what the shop's scale will show there. Its Draw is 0
	// where even the shortest passes a limit.
	Forecast
	Because reason
	Strain  float64 // of the surface at the worst place; 0 where widths and depths were not measured
}

// Stop finds the longest draw of the next pull of the braced bow, also where it was only pulled on a long
// string so far, at which the upper edge of the peak's band stays within the weight and all other limits are
// kept. Where one peak of the last pass may decide much, the line is the nearest of those that leave one out.
// The error wraps [ErrUnsolved].
func (st State) Stop(limits Limits) (Stop, error) {
	st.wide = max(st.wide, 1) // no promise kept takes a bow farther
	best, err := st.stop(limits)
	if err != nil || limits.Weight == 0 {
		return best, err
	}
	draw := best.Draw
	for _, g := range st.leftOut {
		other := st
		other.g, other.pulled = g.first(st.frame.len()), g
		if s, err := other.stop(limits); err == nil && s.Draw < draw {
			draw, best.Because = s.Draw, s.Because
		}
	}
	if draw == best.Draw {
		return best, nil
	}
	limits.Draw = draw
	nearest, err := st.stop(limits)
	nearest.Because = best.Because
	if draw == 0 {
		nearest = Stop{Because: best.Because}
	}
	return nearest, err
}

// stop is the stop line by the estimate as it is.
func (st State) stop(limits Limits) (Stop, error) {
	var places strung.Places
	for s, limb := range st.bow.Limbs {
		for _, size := range limb.latest() {
			places[s].At = append(places[s].At, size.At)
		}
	}
	p, err := st.probe(0, places)
	if err != nil {
		return Stop{}, err
	}
	end, because := st.longest+longestStep, ByStep
	if st.longest <= p.sol.Draw {
		end = p.sol.Draw + firstStep
	}
	// In steps: the brace is allowed, the end may not be. The last draw found to pass no limit is the best.
	brace, last := math.Ceil(p.sol.Draw/stopStep), math.Floor(end/stopStep+1e-9)
	end = last * stopStep
	if limits.Draw > 0 && limits.Draw <= end {
		// The order itself is no step, least of all in centimetres.
		end, because = limits.Draw, ByOrder
		last = math.Ceil(end / stopStep)
	}
	var best Stop
	passes := func(draw float64) bool {
		s, limit := p.stop(draw, limits)
		if limit == ByStep {
			best = s
			return false
		}
		because = limit
		return true
	}
	if passes(end) {
		sort.Search(max(int(last-brace)-1, 0), func(i int) bool {
			return passes((brace + float64(i+1)) * stopStep)
		})
	}
	best.Because = because
	return best, nil
}

// stop is the bow at a draw, and what keeps it from being drawn so far, [ByStep] where nothing does.
func (p *probe) stop(draw float64, limits Limits) (Stop, reason) {
	if p.draw(draw) != nil {
		return Stop{}, ByReach
	}
	s := Stop{Forecast: p.forecast(draw)}
	s.Force = p.shown(draw)
	for side, limb := range p.st.bow.Limbs {
		for i, size := range limb.latest() {
			s.Strain = max(s.Strain, size.strain(p.st.bow.Section, p.read[side].Bend[i]))
		}
	}
	switch {
	case limits.Weight > 0 && s.Force.High > limits.Weight:
		return s, ByWeight
	case limits.Strain > 0 && s.Strain > limits.Strain:
		return s, ByStrain
	}
	return s, ByStep
}

// strain is the surface strain of a section under a bend, at the face that is strained more.
func (s Size) strain(kind section.Kind, bend float64) float64 {
	sec, ok := section.New(kind, s.Width, s.Depth)
	if !ok {
		return 0
	}
	back, belly := sec.Strain(bend)
	return max(math.Abs(back), math.Abs(belly))
}

// Strains are the surface strains of a limb at the places of its bending, with widths and depths linear
// between where they were measured; nil where they were not.
func (st State) Strains(side model.Side, b Bending) []float64 {
	sizes := st.bow.Limbs[side].latest()
	if len(sizes) < 2 {
		return nil
	}
	at := make([]float64, len(sizes))
	for i, size := range sizes {
		at[i] = size.At
	}
	strains := make([]float64, len(b.At))
	for i, place := range b.At {
		k, f := locate(at, place)
		in, out := sizes[k], sizes[k+1]
		size := Size{At: place, Width: (1-f)*in.Width + f*out.Width, Depth: (1-f)*in.Depth + f*out.Depth}
		strains[i] = size.strain(st.bow.Section, b.Bend[i].Estimate)
	}
	return strains
}
