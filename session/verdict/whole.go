package verdict

import "bendbook/model/estimate"

// ofWhole puts findings, which come at the scale of the rest of their limb, into the terms in which the stations are told: as a
// share of the aim at the scale of the limb as a whole.
//
// Where a place that has the share w of the compared limb's wanted bend bends 1+d times as much as the rest, the whole bends
// 1+w·d times as much as the rest, and the place (1+d)/(1+w·d) times as much as the whole.
func (a *Advice) ofWhole(found []estimate.Finding, wanted estimate.Aim) []estimate.Finding {
	if len(found) == 0 {
		return nil
	}
	const step = 0.25
	var at [2][]float64
	for side, limb := range a.Bow.Limbs {
		for s := step / 2; s < float64(limb.Length); s += step {
			at[side] = append(at[side], s)
		}
	}
	both, err := a.state.Bending(a.Draw, wanted, at)
	if err != nil {
		return found
	}
	for i, f := range found {
		w := shareOf(both[f.Side], f.From, f.To)
		whole := func(d float64) float64 { return d * (1 - w) / (1 + w*d) }
		found[i].Deviation = estimate.Figure{
			Estimate: whole(f.Deviation.Estimate), Low: whole(f.Deviation.Low), High: whole(f.Deviation.High),
		}
	}
	return found
}

// shareOf is the share that a stretch has of a limb's wanted bend, as far as the limb is compared.
func shareOf(limb estimate.Bending, from, to float64) float64 {
	within, all := 0.0, 0.0
	for i, s := range limb.At {
		if !limb.Compared[i] {
			continue
		}
		all += limb.Aim[i]
		if s >= from && s <= to {
			within += limb.Aim[i]
		}
	}
	if all == 0 {
		return 0
	}
	return within / all
}
