package estimate

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"bendbook/model"
)

// A view is what the readings say of one limb's places when the stave is of one kind.
type view struct {
	weight float64 // of this kind after the readings
	plain  float64 // weight, within it, of a limb without any step
	places []place // by candidate
	// carried is how a step at one candidate (column) shows in what another (row) has over the rest, beside
	// what the best fit without it has there already.
	carried *mat.Dense
}

// A place is one candidate in a view.
type place struct {
	weight        float64 // of a step just here
	rise, riseVar float64 // of that step, if it is
	over, overVar float64 // how much less it bends than the rest, without any step (logarithm)
}

// supposed is what the readings say of the bow for each kind of stave, its share among staves included.
func (st State) supposed(data likelihood, even [2][]float64, found [2][]candidate) []posterior {
	var all []posterior
	unread := st.unread.covariance()
	for _, k := range kinds() {
		if u, ok := data.under(st.suppose(even, k, found, unread)); ok {
			u.evidence += math.Log(k.share)
			all = append(all, u)
		}
	}
	return all
}

// views are the limb's for all that is supposed of the bow.
func (st State) views(bow []posterior, even []float64, side model.Side, candidates []candidate) []view {
	var all []view
	var logs []float64
	l := layOut(candidates)
	for _, u := range bow {
		v, gain := st.view(u, even, side, candidates, l)
		all, logs = append(all, v), append(logs, u.evidence+gain)
	}
	for i, log := range logs {
		all[i].weight = math.Exp(log - floats.LogSumExp(logs))
	}
	return all
}

// A layout is what the candidates of a limb are to one another, whatever is read.
type layout struct {
	rises, overs *mat.Dense // by candidate, by knot
	// hidden is what a step at one candidate (column) adds to what another (row) has over the rest beyond
	// what the knots show of it: a step is sharp, and its course between the knots is not.
	hidden *mat.Dense
}

func layOut(candidates []candidate) layout {
	n := len(candidates)
	l := layout{
		rises: mat.NewDense(n, knotsPerLimb, nil), overs: mat.NewDense(n, knotsPerLimb, nil),
		hidden: mat.NewDense(n, n, nil),
	}
	for i, m := range candidates {
		l.rises.SetRow(i, m.rise)
		l.overs.SetRow(i, m.over)
	}
	l.hidden.Mul(l.overs, l.rises.T())
	for i, m := range candidates {
		row := l.hidden.RawRowView(i)
		for j, step := range candidates {
			row[j] = m.shown(step) - row[j]
		}
	}
	return l
}

// view is what the readings say of the limb under one kind; gain is the logarithm of how much likelier the
// readings are for the steps.
func (st State) view(u posterior, even []float64, side model.Side, candidates []candidate, l layout) (
	v view, gain float64,
) {
	first, last := st.frame.stiffness(side), st.frame.rest(side)
	fit := floats.SubTo(make([]float64, knotsPerLimb), u.mean[first:last], even)
	cov := u.cov.SliceSym(first, last)
	v.places = make([]place, len(candidates))
	var logs []float64
	for i, m := range candidates {
		p := &v.places[i]
		var log float64
		p.rise, p.riseVar, log = u.step(first, m.rise)
		logs = append(logs, log+math.Log(stepChance/float64(len(candidates))))
		p.over = floats.Dot(m.over, fit)
		p.overVar = floats.Dot(m.over, product(cov, m.over))
	}
	var between mat.Dense
	between.Mul(l.overs, u.left.Slice(first, last, first, last))
	v.carried = &mat.Dense{}
	v.carried.Mul(&between, l.rises.T())
	v.carried.Add(v.carried, l.hidden)
	plain := math.Log(1 - stepChance)
	gain = floats.LogSumExp(append(logs, plain))
	for i, log := range logs {
		v.places[i].weight = math.Exp(log - gain)
	}
	v.plain = math.Exp(plain - gain)
	return v, gain
}
