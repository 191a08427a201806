package estimate

import (
	"bendbook/model"
	"bendbook/model/strung"
)

// Tiller is the upper limb's gap to the string less the lower's (in), braced, at each of the places, as
// distances from the roots. It refuses a place beyond either nock. The error wraps [ErrUnsolved] or
// [ErrInput].
func (st State) Tiller(at ...float64) ([]Figure, error) {
	p, err := st.atBrace(strung.Places{{At: at}, {At: at}})
	if err != nil {
		return nil, err
	}
	all := make([]Figure, len(at))
	upper, lower := &p.read[model.Upper], &p.read[model.Lower]
	for i := range at {
		by := append([]float64(nil), p.own(p.slopes.Limbs[model.Upper].Gap.RawRowView(i))...)
		axpy(-1, p.own(p.slopes.Limbs[model.Lower].Gap.RawRowView(i)), by)
		all[i] = around(upper.Gap[i]-lower.Gap[i], st.g.sd(by))
	}
	return all, nil
}
