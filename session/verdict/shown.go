package verdict

import (
	"bendbook/model"
	"bendbook/model/estimate"
)

// Shapes is the bow as estimated, braced and at Draw, at places 2 in or 5 cm apart and at the nocks. ok is
// false where no peak was read or the bow can't be drawn so far.
func (a Advice) Shapes() (braced, drawn [2]estimate.Belly, ok bool) {
	if !a.Weight.Known() {
		return braced, drawn, false
	}
	var at [2][]float64
	for _, side := range model.Sides {
		step, length := either(a.Bow, 2, 5), float64(a.Bow.Limbs[side].Length)
		for n := 0.0; n*step < length-step/4; n++ {
			at[side] = append(at[side], n*step)
		}
		at[side] = append(at[side], length)
	}
	braced, err := a.state.Shape(0, at)
	if err != nil {
		return braced, drawn, false
	}
	drawn, err = a.state.Shape(a.Draw, at)
	return braced, drawn, err == nil
}

// AsWeighed is what the finished bow pulls at draws from the belly (in): the estimate in proportion to the
// last weighing. It is empty before that.
func (a Advice) AsWeighed(draws ...float64) (all []estimate.Forecast) {
	peak, weighed := a.Weighed.Get()
	foretold, known := a.Weight.Get()
	if !weighed || !known {
		return nil
	}
	all, err := a.state.Forecast(draws...)
	if err != nil {
		return nil
	}
	by := float64(peak) / foretold.Force.Estimate
	for i := range all {
		for _, f := range []*estimate.Figure{&all[i].Force, &all[i].Energy} {
			*f = estimate.Figure{Estimate: by * f.Estimate, Low: by * f.Low, High: by * f.High}
		}
	}
	return all
}
