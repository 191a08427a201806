package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
)

// A Plan is what to take off now.
type Plan struct {
	Wanted Wanted
	// Cuts are in the order of the limbs and outwards, each stretch at most once.
	Cuts []Cut
	// Way is the whole loss that would bring the bow to what is wanted, this pass included, as far as is known
	// now, by [Plan.Stretches].
	Way       []float64
	Stretches []estimate.Stretch
	// Wear is what the bow may still lose by its first full draw; a plan leaves that much.
	Wear Wear
	// Now is the bow as it is, After with the cuts.
	Now, After Outcome
}

// Make plans the next scraping. Marks are the places between which wood can be taken, by Side, outwards from
// the root (in). The error wraps one of package estimate's.
func Make(st estimate.State, w Wanted, marks [2][]float64) (Plan, error) {
	p := Plan{Wanted: w}
	if err := w.check(); err != nil {
		return p, err
	}
	p.Stretches = stretches(st.Bow(), w.Aim, marks)
	now, err := p.With(st, nil)
	if err != nil {
		return p, fmt.Errorf("the bow as it is: %w", err)
	}
	p.Now, p.After = now, now
	if len(p.Stretches) == 0 {
		return p, nil
	}
	t, err := st.Try(w.Draw, w.Aim, w.TillerAt, p.Stretches)
	if err != nil {
		return p, fmt.Errorf("trying the bow with wood off: %w", err)
	}
	if p.Wear, err = w.wear(st, t); err != nil {
		return p, fmt.Errorf("the set that is to come: %w", err)
	}
	s := search{trial: t, wanted: w, wear: p.Wear.Mean, stretches: p.Stretches}
	p.Way, err = s.way()
	if err != nil {
		return p, fmt.Errorf("trying the bow with wood off: %w", err)
	}
	return p, p.choose(st)
}

// With is what the bow would be after some cuts.
func (p Plan) With(st estimate.State, cuts []Cut) (Outcome, error) {
	if len(cuts) > 0 {
		var pass estimate.Pass
		for _, c := range cuts {
			share := st.Bow().DepthShare(c.Loss)
			pass.Scrapes = append(pass.Scrapes, estimate.Scrape{Side: c.Side, From: c.From, To: c.To, Share: share})
		}
		var err error
		if st, err = st.Fold(pass); err != nil {
			return Outcome{}, fmt.Errorf("taking the wood off: %w", err)
		}
	}
	all, err := st.Forecast(p.Wanted.Draw)
	if err == nil && len(all) == 0 {
		err = fmt.Errorf("drawn %.4g: %w", p.Wanted.Draw, estimate.ErrDraw)
	}
	if err != nil {
		return Outcome{}, err
	}
	tiller, err := st.Tiller(p.Wanted.TillerAt)
	if err != nil {
		return Outcome{}, err
	}
	weight := all[0].Force
	return Outcome{
		Weight: weight, Tiller: tiller[0], State: st,
		ChanceUnder: normal((p.Wanted.Least() - weight.Estimate) / sd(weight)),
		ChanceOver:  normal((weight.Estimate - p.Wanted.Most()) / sd(weight)),
	}, nil
}

// Shares of the way to go in one pass: scraping is imprecise and can't be undone, and only the next readings
// show what it did. What all stretches have in common takes off excess weight; what single stretches need
// beyond that mends the shape, and comes first, while there is wood left. Found on virtual staves.
const (
	farShare    = 0.3 // of what is common, while the bow is more than far too heavy
	middleShare = 0.5
	nearShare   = 0.8       // of the same when it is less than near too heavy
	shapeShare  = 0.8       // of what a stretch needs beyond
	far, near   = 0.2, 0.06 // of log weight
	// leastLoss is what nobody can take: less than a stroke or two.
	leastLoss = 0.004
	// deepest is the most that one pass takes of log stiffness anywhere: a tenth of the depth.
	deepest = 0.33
	// MostChance is the chance of less than the least weight wanted that a plan may leave.
	MostChance = 0.05
)

// choose takes a share of the way, so small that the bow stays within the weight wanted.
func (p *Plan) choose(st estimate.State) error {
	level := nearShare
	switch excess := math.Log(p.Now.Weight.Estimate/p.Wanted.middle()) - p.Wear.Mean; {
	case excess > far:
		level = farShare
	case excess > near:
		level = middleShare
	}
	share := 1.0
	for range 8 {
		cuts := p.take(share, level)
		out, err := p.With(st, cuts)
		switch {
		case err != nil && !errors.Is(err, estimate.ErrDraw) && !errors.Is(err, estimate.ErrUnsolved):
			return err
		case err == nil && (len(cuts) == 0 || p.mayWeaken(out) <= MostChance):
			p.Cuts, p.After = cuts, out
			return nil
		}
		share *= p.retreat(out, err == nil)
	}
	return nil
}

// mayWeaken is the chance of less than the least weight wanted once the bow is worn in.
func (p *Plan) mayWeaken(o Outcome) float64 {
	mean, spread := p.worn(o)
	return normal((math.Log(p.Wanted.Least()) - mean) / spread)
}

// worn is the logarithm of the weight of an outcome once worn in, and its standard deviation.
func (p *Plan) worn(o Outcome) (mean, spread float64) {
	return math.Log(o.Weight.Estimate) - p.Wear.Mean, math.Hypot(sd(o.Weight)/o.Weight.Estimate, p.Wear.Error)
}

// retreat is the factor to shrink the cuts by when the bow would likely end up too light.
func (p *Plan) retreat(out Outcome, known bool) float64 {
	lost := math.Log(p.Now.Weight.Estimate / out.Weight.Estimate)
	if !known || !(lost > 0) {
		return 0.5
	}
	mean, spread := p.worn(out)
	allowed := lost - (math.Log(p.Wanted.Least()) - (mean - quantile*spread))
	return min(max(0.98*allowed/lost, 0.1), 0.9)
}

// take makes this pass's cuts: the level share of what all stretches have in common, and more of what a stretch
// needs beyond that. So the limbs come even first.
func (p *Plan) take(share, level float64) []Cut {
	common := slices.Sorted(slices.Values(p.Way))[len(p.Way)/4]
	var cuts []Cut
	for j, s := range p.Stretches {
		even := min(p.Way[j], common)
		loss := share * (level*even + shapeShare*(p.Way[j]-even))
		if loss = min(loss, deepest); loss >= leastLoss {
			cuts = append(cuts, Cut{s, loss})
		}
	}
	return cuts
}

// stretches are those between the marks of both limbs, as far as they are compared.
func stretches(bow estimate.Bow, a estimate.Aim, marks [2][]float64) []estimate.Stretch {
	var all []estimate.Stretch
	for _, side := range model.Sides {
		length := bow.Limbs[side].Length
		end, from := a.ComparedTo(length), 0.0
		for _, m := range append(slices.Clone(marks[side]), length) {
			to := min(m, length)
			// With stiff tips nothing is taken off there; elsewhere the last stretch goes on to its mark.
			if a.StiffTips > 0 {
				to = min(to, max(end, from))
			}
			if from < end-leastStretch && to-from >= leastStretch {
				all = append(all, estimate.Stretch{Side: side, From: from, To: to})
				from = to
			}
		}
	}
	return all
}

// leastStretch is the shortest stretch that a scraper is set to (in).
const leastStretch = 1.0
