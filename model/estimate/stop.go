package estimate

import (
	"math"

	"bendbook/model"
	"bendbook/model/section"
	"bendbook/model/strung"
)

// Limits are what the next pull must not pass.
type Limits struct {
	// Weight is what the bow is to have on the tree (lbf); 0 is no limit.
	Weight float64
	// Draw is the ordered draw of the hook from the belly line (in); 0 is no limit.
	Draw float64
	// Strain is what the wood's surface stands; 0 is not known. It needs measured widths and depths.
	Strain float64
}

// A Reason says what limits the next pull.
type Reason uint8

// The reasons.
const (
	ByStep   Reason = iota // so far beyond the longest pull nothing was read
	ByWeight               // the peak may reach the weight wanted
	ByOrder                // the ordered draw
	ByStrain               // the surface strain
	ByReach                // the estimated bow can't be drawn farther
)

const (
	// longestStep is how far the next pull may go beyond the longest, or the first beyond brace (in).
	longestStep = 2.0
	firstStep   = 3.0
	// stopStep is what the stop line is rounded down to, unless it is the order (in).
	stopStep = 1.0 / 8
)

// A Stop is the stop line of the next pull.
type Stop struct {
	// Forecast is of the longest draw allowed. Its Draw is 0 where even the shortest passes a limit.
	Forecast
	Because Reason
	// Strain is the surface strain there, at the worst place; 0 where widths and depths were not measured.
	Strain float64
}

// Stop finds the longest draw of the next pull of the braced bow, also where it was only pulled on a long
// string so far, at which the upper edge of the peak's band stays within the weight and all other limits are
// kept. The error wraps [ErrUnsolved].
func (st State) Stop(limits Limits) (Stop, error) {
	at := st.sizedPlaces()
	places := strung.Places{{At: at[model.Upper]}, {At: at[model.Lower]}}
	p, err := st.atBrace(places)
	if err != nil {
		return Stop{}, err
	}
	brace := p.sol.Draw
	reach := Stop{Because: ByStep}
	end := st.longest + longestStep
	if st.longest <= brace {
		end = brace + firstStep
	}
	// In steps: low is allowed, high is tried.
	low, high := math.Ceil(brace/stopStep), math.Floor(end/stopStep+1e-9)
	end = high * stopStep
	if limits.Draw > 0 && limits.Draw <= end {
		// The order itself is no step, least of all in centimetres.
		end, reach.Because = limits.Draw, ByOrder
		high = math.Ceil(end / stopStep)
	}
	try := func(draw float64) (Stop, bool) {
		if err := p.draw(draw); err != nil {
			return Stop{Because: ByReach}, false
		}
		s := Stop{Forecast: p.forecast(draw), Strain: p.strain()}
		switch {
		case limits.Weight > 0 && s.Force.High > limits.Weight:
			s.Because = ByWeight
			return s, false
		case limits.Strain > 0 && s.Strain > limits.Strain:
			s.Because = ByStrain
			return s, false
		}
		return s, true
	}
	if s, ok := try(end); ok {
		s.Because = reach.Because
		return s, nil
	} else {
		reach.Because = s.Because
	}
	best := reach
	for high-low > 1 {
		middle := math.Floor((low + high) / 2)
		if s, ok := try(middle * stopStep); ok {
			best, low = s, middle
		} else {
			high, reach.Because = middle, s.Because
		}
	}
	best.Because = reach.Because
	return best, nil
}

// sizedPlaces are where widths and depths were measured, by limb.
func (st State) sizedPlaces() (at [2][]float64) {
	for s, limb := range st.bow.Limbs {
		for _, size := range limb.latest() {
			at[s] = append(at[s], size.At)
		}
	}
	return at
}

// strain is the largest surface strain where widths and depths were measured, at the draw last tried.
func (p *probe) strain() float64 {
	worst := 0.0
	for _, side := range model.Sides {
		read := &p.read[side]
		for i, size := range p.st.bow.Limbs[side].latest() {
			if i < len(read.Bend) {
				worst = max(worst, size.strain(p.st.bow.Section, read.Bend[i]))
			}
		}
	}
	return worst
}

// strain is the surface strain of a section under a bend, at the face that is strained more.
func (s Size) strain(kind section.Kind, bend float64) float64 {
	sec, err := section.New(kind, s.Width, s.Depth)
	if err != nil {
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
