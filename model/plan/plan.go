package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"bendbook/model"
	"bendbook/model/estimate"
)

// A Plan is what to take off now.
type Plan struct {
	Wanted Wanted
	// Cuts are in the order of the limbs and outwards, each stretch at most once.
	Cuts []Cut
	// Way is what would be left to take between all marks for the bow to be as wanted, this pass included, as
	// well as is known now.
	Way []Cut
	// Stretches are those that a scraper is set to, each long enough; the cuts are at some of them.
	Stretches []estimate.Stretch
	// Wear is what the bow may still lose by its first full draw; a plan leaves that much.
	Wear wear
	// Now is the bow as it is, After with the cuts.
	Now, After Outcome

	uneven bool // there are findings
}

// Make plans the next scraping. Marks are the places between which wood can be taken, by Side, outwards from
// the root (in); found are the findings at the draw: nothing is taken off a hinge. The error wraps one of
// package estimate's.
func Make(st estimate.State, w Wanted, marks [2][]float64, found []estimate.Finding) (Plan, error) {
	p := Plan{Wanted: w, uneven: len(found) > 0}
	if err := w.check(); err != nil {
		return p, err
	}
	all := stretches(st.Bow(), w.Aim, marks)
	now, err := p.With(st, nil)
	if err != nil {
		return p, fmt.Errorf("the bow as it is: %w", err)
	}
	p.Now, p.After = now, now
	if len(all) == 0 {
		return p, nil
	}
	t, err := st.Try(w.Draw, w.Aim, w.TillerAt, all)
	if err != nil {
		return p, fmt.Errorf("trying the bow with wood off: %w", err)
	}
	if p.Wear, err = w.wear(st, t); err != nil {
		return p, fmt.Errorf("the set still to come: %w", err)
	}
	s := search{trial: t, wanted: w, wear: p.Wear.Mean, stretches: all, tillerCounts: p.TillerOff()}
	way, err := s.way()
	if err != nil {
		return p, fmt.Errorf("trying the bow with wood off: %w", err)
	}
	for j, stretch := range all {
		p.Way = append(p.Way, Cut{stretch, way[j]})
	}
	parts := parts(p.Way, found, t, st.Pictured())
	for _, s := range parts {
		p.Stretches = append(p.Stretches, s.Stretch)
	}
	return p, p.choose(st, parts, p.mostChance(found))
}

// mostChance is the chance of too little weight that this plan may leave. A hinge that is sure grows with
// each pull, so the rest comes down to it where the bow surely has weight to lose.
func (p *Plan) mostChance(found []estimate.Finding) float64 {
	hinge := slices.ContainsFunc(found, func(f estimate.Finding) bool {
		return f.Hinge && f.Deviation.Estimate >= sureHinge && f.Chance >= right
	})
	over := (p.Now.Weight.Estimate - p.Wanted.Weight) / sd(p.Now.Weight)
	if hinge && normal(over) >= right {
		return mostChanceAtHinge
	}
	return MostChance
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

// choose takes a share of the way, so small that the bow stays within the weight wanted.
func (p *Plan) choose(st estimate.State, parts []part, most float64) error {
	level := nearShare
	switch excess := p.excess(); {
	case excess > far:
		level = farShare
	case excess > near:
		level = middleShare
	}
	share := 1.0
	for range 8 {
		cuts := p.take(parts, share, level)
		out, err := p.With(st, cuts)
		switch {
		case err != nil && !errors.Is(err, estimate.ErrDraw) && !errors.Is(err, estimate.ErrUnsolved):
			return err
		case err == nil && (share < leastShare && most == MostChance || !p.worthwhile(out)):
			return nil
		case err == nil && (len(cuts) == 0 || p.mayWeaken(out) <= most):
			p.Cuts, p.After = cuts, out
			return nil
		}
		share *= p.retreat(out, err == nil, most)
	}
	return nil
}

// worthwhile says whether an outcome promises more than is unsure: a place or a tiller that is off comes
// right, or a bow that is near its weight comes nearer by more than that is unsure (1 sd).
func (p *Plan) worthwhile(o Outcome) bool {
	return p.uneven || p.TillerOff() || p.excess() > near ||
		p.Now.Weight.Estimate-o.Weight.Estimate >= sd(p.Now.Weight)
}

// excess is how much too heavy the bow is once worn in, of the logarithm of weight.
func (p *Plan) excess() float64 {
	return math.Log(p.Now.Weight.Estimate/p.Wanted.middle()) - p.Wear.Mean
}

// mayWeaken is the chance that the bow comes to less than the least weight wanted once it is worn in.
func (p *Plan) mayWeaken(o Outcome) float64 {
	mean, spread := p.worn(o)
	return max(normal((math.Log(p.Wanted.Least())-mean)/spread), o.ChanceUnder)
}

// worn is the logarithm of the weight of an outcome once worn in, and its standard deviation.
func (p *Plan) worn(o Outcome) (mean, spread float64) {
	return math.Log(o.Weight.Estimate) - p.Wear.Mean, math.Hypot(sd(o.Weight)/o.Weight.Estimate, p.Wear.Error)
}

// retreat is by how much less to take where the chance of too little weight is larger than the most.
func (p *Plan) retreat(out Outcome, known bool, most float64) float64 {
	lost := math.Log(p.Now.Weight.Estimate / out.Weight.Estimate)
	if !known || !(lost > 0) {
		return 0.5
	}
	mean, spread := p.worn(out)
	allowed := lost - (math.Log(p.Wanted.Least()) - (mean - distuv.UnitNormal.Quantile(1-most)*spread))
	return min(max(0.98*allowed/lost, 0.1), 0.9)
}

// take is a share of this pass's cuts, which fade out into their neighbours.
func (p *Plan) take(parts []part, share, level float64) (cuts []Cut) {
	losses := p.losses(parts, share, level)
	for j, s := range parts {
		loss := losses[j]
		if !s.spared && !s.tip {
			if j > 0 && touch(parts[j-1].Stretch, s.Stretch) {
				loss = max(loss, feather*losses[j-1])
			}
			if touch(s.Stretch, parts[j+1].Stretch) {
				loss = max(loss, feather*losses[j+1])
			}
		}
		if loss >= leastLoss {
			cuts = append(cuts, Cut{s.Stretch, loss})
		}
	}
	return cuts
}

// losses are a share of what this pass takes of each part: of what all have in common the level share, and of
// what one needs beyond the others more. So the limbs come even first.
//
// What is common is taken where the bow is surely too heavy, what a part needs beyond where the readings show
// it; and nothing beside the tips that is less than what is unsure there.
func (p *Plan) losses(parts []part, share, level float64) []float64 {
	common := 0.0
	if p.excess() >= sd(p.Now.Weight)/p.Now.Weight.Estimate {
		common = inCommon(parts)
	}
	losses := make([]float64, len(parts))
	over := 0.0 // what goes too deep at the stiffest part is left out of what is common
	for j, s := range parts {
		even := min(s.Loss, common)
		switch {
		case s.spared || s.tip && s.Loss < s.unsure:
		case s.Loss < s.unsure:
			losses[j] = share * level * even
		default:
			losses[j] = share * (level*even + shapeShare*(s.Loss-even))
		}
		over = max(over, losses[j]-deepest)
	}
	over = min(overShare*over, share*level*common)
	for j := range losses {
		losses[j] = min(max(losses[j]-over, 0), deepest)
	}
	return losses
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
			if from < end-leastMarked && to-from >= leastMarked {
				all = append(all, estimate.Stretch{Side: side, From: from, To: to})
				from = to
			}
		}
	}
	return all
}
