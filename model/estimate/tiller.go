package estimate

import (
	"bendbook/model"
	"bendbook/model/strung"
)

func noPlaces() strung.Places { return strung.Places{} }

// Tiller is the upper limb's gap to the string less the lower's (in), braced, at each of the places, as
// distances from the roots. A place beyond either nock is refused. The error wraps [ErrUnsolved] or
// [ErrInput].
func (st State) Tiller(at ...float64) ([]Figure, error) {
	var places strung.Places
	places.Upper.At, places.Lower.At = at, at
	p, err := st.probe(places)
	if err != nil {
		return nil, err
	}
	if err := p.draw(0); err != nil {
		return nil, err
	}
	all := make([]Figure, len(at))
	upper, upperBy := p.limb(model.Upper)
	lower, lowerBy := p.limb(model.Lower)
	for i := range at {
		by := append([]float64(nil), p.own(upperBy.Gap.RawRowView(i))...)
		axpy(-1, p.own(lowerBy.Gap.RawRowView(i)), by)
		all[i] = around(upper.Gap[i]-lower.Gap[i], st.g.sd(by))
	}
	return all, nil
}
