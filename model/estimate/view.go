package estimate

import (
	"math"

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

// A supposed is what the readings say of a bow of one kind, and what share of staves is of that kind.
type supposed struct {
	posterior
	share float64
}

// supposed are the bow's for all kinds of stave. None are left where rounding made every one fail.
func (st State) supposed(data likelihood, even [2][]float64, found [2][]candidate) []supposed {
	var all []supposed
	unread := st.unread.covariance()
	for _, k := range kinds() {
		if u, ok := data.under(st.suppose(even, k, found, unread)); ok {
			all = append(all, supposed{u, k.share})
		}
	}
	return all
}

// views are the limb's for all that is supposed of the bow.
func (st State) views(bow []supposed, even []float64, side model.Side, candidates []candidate) []view {
	var all []view
	var logs []float64
	l := layOut(candidates)
	for _, k := range bow {
		v, gain := st.view(k.posterior, even, side, candidates, l)
		all = append(all, v)
		logs = append(logs, k.evidence+math.Log(k.share)+gain)
	}
	most := math.Inf(-1)
	for _, log := range logs {
		most = max(most, log)
	}
	sum := 0.0
	for i := range all {
		all[i].weight = math.Exp(logs[i] - most)
		sum += all[i].weight
	}
	for i := range all {
		all[i].weight /= sum
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
	first, k := st.frame.stiffness(side), knotsPerLimb
	fit := make([]float64, k)
	for i := range fit {
		fit[i] = u.mean[first+i] - even[i]
	}
	cov := u.cov.SliceSym(first, first+k)
	v.places = make([]place, len(candidates))
	logs := make([]float64, len(candidates))
	most := 0.0
	for i, m := range candidates {
		p := &v.places[i]
		p.rise, p.riseVar, logs[i] = u.step(first, m.rise, stepSize)
		most = max(most, logs[i])
		p.over = dot(m.over, fit)
		p.overVar = dot(m.over, product(cov, m.over))
	}
	left := u.left.Slice(first, first+k, first, first+k)
	var between mat.Dense
	between.Mul(l.overs, left)
	v.carried = &mat.Dense{}
	v.carried.Mul(&between, l.rises.T())
	v.carried.Add(v.carried, l.hidden)
	v.plain = (1 - stepChance) * math.Exp(-most)
	sum := v.plain
	for i := range v.places {
		v.places[i].weight = stepChance / float64(len(candidates)) * math.Exp(logs[i]-most)
		sum += v.places[i].weight
	}
	v.plain /= sum
	for i := range v.places {
		v.places[i].weight /= sum
	}
	return v, math.Log(sum) + most
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
	sd := math.Sqrt(math.Max(square-mean*mean, 0))
	log := around(-mean, unplaced*sd) // of bend, which falls as stiffness rises
	f = Finding{
		Side: side, Hinge: mean < 0, From: m.from, To: m.to, Chance: flat,
		Deviation: Figure{math.Expm1(log.Estimate), math.Expm1(log.Low), math.Expm1(log.High)},
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
