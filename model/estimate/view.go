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

// supposed is what the readings say of the bow for each kind of stave, its share among staves included. None
// are left where rounding makes every one fail.
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
	all := make([]view, len(bow))
	logs := make([]float64, len(bow))
	l := layOut(candidates)
	for i, u := range bow {
		var gain float64
		all[i], gain = st.view(u, even, side, candidates, l)
		logs[i] = u.evidence + gain
	}
	for i, weight := range shares(logs) {
		all[i].weight = weight
	}
	return all
}

// shares are the parts of a whole whose logarithms are given up to a common summand.
func shares(logs []float64) []float64 {
	out := make([]float64, len(logs))
	if len(logs) > 0 {
		sum := floats.LogSumExp(logs)
		for i, log := range logs {
			out[i] = math.Exp(log - sum)
		}
	}
	return out
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
		p.rise, p.riseVar, log = u.step(first, m.rise, stepSize)
		logs = append(logs, log+math.Log(stepChance/float64(len(candidates))))
		p.over = floats.Dot(m.over, fit)
		p.overVar = floats.Dot(m.over, product(cov, m.over))
	}
	var between mat.Dense
	between.Mul(l.overs, u.left.Slice(first, last, first, last))
	v.carried = &mat.Dense{}
	v.carried.Mul(&between, l.rises.T())
	v.carried.Add(v.carried, l.hidden)
	logs = append(logs, math.Log(1-stepChance))
	weights := shares(logs)
	for i := range v.places {
		v.places[i].weight = weights[i]
	}
	v.plain = weights[len(candidates)]
	return v, floats.LogSumExp(logs)
}

// judge is the finding at one candidate, and whether it passes the bar. Its chance is over all hypotheses,
// its deviation over those with a step just there.
func judge(views []view, i int, side model.Side, m candidate, bar Bar) (f Finding, told bool) {
	flatBound, hingeBound := -math.Log1p(-bar.Size/3), math.Log1p(bar.Size/3)
	mean, square, sum, flat, hinge, blur := 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
	add := func(weight, at, variance float64, here bool) {
		sd := math.Sqrt(variance)
		if here {
			sum += weight
			mean += weight * at
			square += weight * (at*at + variance)
		}
		flat += weight * above((at-flatBound)/sd)
		hinge += weight * above((-at-hingeBound)/sd)
	}
	for _, v := range views {
		p := v.places[i]
		add(v.weight*v.plain, p.over, p.overVar, false)
		blur += v.weight * p.riseVar
		for j, q := range v.places {
			if i == j || q.weight*v.weight > tooLittle {
				c := v.carried.At(i, j)
				add(v.weight*q.weight, p.over+c*q.rise, p.overVar+c*c*q.riseVar, i == j)
			}
		}
	}
	if sum == 0 {
		return f, false
	}
	mean, square = mean/sum, square/sum
	sd := math.Sqrt(max(square-mean*mean, 0))
	f = Finding{
		Side: side, Hinge: mean < 0, From: m.from, To: m.to, Chance: flat,
		Deviation: around(-mean, unplaced*sd).through(math.Expm1), // bend falls as stiffness rises
	}
	if f.Hinge {
		f.Chance = hinge
	}
	doubt := min(max(math.Sqrt(blur)/trustedBlur, 1), mostDoubt)
	f.Chance = max(surest*(1-doubt*(1-f.Chance)), 0)
	return f, math.Abs(f.Deviation.Estimate) >= bar.Size && f.Chance >= bar.Chance && blur <= mostBlur*mostBlur
}

// above is the probability that a unit Gaussian lies below z.
func above(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
