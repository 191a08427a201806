package estimate

import (
	"math"

	"bendbook/model"
	"bendbook/model/strung"
)

// follow is how far the unstrung nocks stand off the line, the mean of both limbs (in), and its standard
// deviation; longest is the longest draw by then (in).
type follow struct{ mean, sd, longest float64 }

func (st State) follow() (follow, error) {
	var places strung.Places
	for s, limb := range st.bow.Limbs {
		places[s].At = []float64{limb.Length}
	}
	p, err := st.atBrace(places)
	if err != nil {
		return follow{}, err
	}
	by := make([]float64, st.frame.len())
	mean := 0.0
	for _, s := range model.Sides {
		mean += p.read[s].Relaxed[0] / 2
		axpy(0.5, p.own(p.slopes.Limbs[s].Relaxed.RawRowView(0)), by)
	}
	return follow{mean: mean, sd: st.g.sd(by), longest: st.longest}, nil
}

// Follow is the string follow, the distance of the unstrung nocks from the line as the mean of both limbs
// (in), negative for reflex, and the set: its growth since the first pass with a relaxed reading. known is
// false before that. The set's band is on the wide side. The error wraps [ErrUnsolved].
func (st State) Follow() (now, set Figure, known bool, err error) {
	f, err := st.follow()
	if err != nil {
		return Figure{}, Figure{}, false, err
	}
	now = around(f.mean, f.sd)
	if st.first == nil {
		return now, Figure{}, false, nil
	}
	return now, around(f.mean-st.first.mean, math.Hypot(f.sd, st.first.sd)), true, nil
}

// SetSince is the longest draw by the end of the first pass with a relaxed reading (in), from which on the
// set of [State.Follow] grew; 0 where it is not known.
func (st State) SetSince() float64 {
	if st.first == nil {
		return 0
	}
	return st.first.longest
}
