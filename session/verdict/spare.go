package verdict

import (
	"fmt"
	"slices"

	"bendbook/model/estimate"
	"bendbook/model/plan"
)

// isSureHinge says that a finding is a weak place to which the rest comes down, and off which nothing comes.
func (f Finding) isSureHinge() bool {
	return f.Hinge && f.Deviation.Estimate >= weakSize && f.Chance >= sureChance
}

// onHinge says whether the most of a stretch lies on a sure hinge.
func (a *Advice) onHinge(s estimate.Stretch) bool {
	return slices.ContainsFunc(a.Findings, func(f Finding) bool {
		return f.isSureHinge() && f.Side == s.Side && overlap(s, f.From, f.To) > (s.To-s.From)/2
	})
}

// spare takes nothing off a sure hinge. Where a plan takes nothing at all, since the bow may lose weight by
// its set, the rest is brought down to the hinge as far as the weight as it is allows: drawn no farther, the
// bow takes no set.
func (a *Advice) spare(p *plan.Plan, state estimate.State) error {
	if !slices.ContainsFunc(a.Findings, Finding.isSureHinge) {
		return nil
	}
	planned := len(p.Cuts)
	p.Cuts = slices.DeleteFunc(p.Cuts, func(c plan.Cut) bool { return a.onHinge(c.Stretch) })
	if len(p.Cuts) == planned && planned > 0 {
		return nil
	}
	const leastShare, least = 0.05, 0.004
	heavy := p.Now.Weight.Estimate > p.Wanted.Weight
	for share := 0.3; heavy && len(p.Cuts) == 0 && share > leastShare; share /= 2 {
		var cuts []plan.Cut
		for j, s := range p.Stretches {
			if loss := share * p.Way[j]; loss >= least && !a.onHinge(s) {
				cuts = append(cuts, plan.Cut{Stretch: s, Loss: loss})
			}
		}
		if out, err := p.With(state, cuts); err == nil && out.ChanceUnder <= plan.MostChance {
			p.Cuts = cuts
		}
	}
	after, err := p.With(state, p.Cuts)
	if err != nil {
		return fmt.Errorf("sparing a hinge: %w", err)
	}
	p.After = after
	return nil
}
