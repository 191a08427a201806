package verdict

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/session"
)

// moment is what the rules look at: a bow's figures, its story, and how far it is in finishing.
type moment struct {
	Advice
	f       Finishing
	s       Standing
	pass    session.Pass
	wanted  plan.Wanted
	noPlan  string // what is missing in the order
	plan    *Plan  // nil where there is none
	cuts    []plan.Cut
	longest float64 // of all draws so far (in)
	unread  bool    // wood came off, and nothing was read since
}

// A rule says what to do where it holds; ok is false where it doesn't.
type rule struct {
	name string
	says func(*moment) (v Verdict, ok bool)
}

func first(rules []rule, m *moment) (Verdict, bool) {
	for _, rule := range rules {
		if v, holds := rule.says(m); holds {
			v.Rule = rule.name
			return v, true
		}
	}
	return Verdict{}, false
}

// found are the findings of a kind, the largest first.
func (m *moment) found(of func(finding) bool) []finding {
	all := slices.DeleteFunc(slices.Clone(m.Findings), func(f finding) bool { return !of(f) })
	slices.SortStableFunc(all, func(a, b finding) int {
		return cmp.Compare(math.Abs(b.Deviation.Estimate), math.Abs(a.Deviation.Estimate))
	})
	return all
}

const (
	// weakSize is of a weak place from which the bow is drawn no farther. The curve shows some two thirds of a
	// sharp hinge: it truly bends 15% too much.
	weakSize   = 0.1
	stopSize   = 0.15 // of one with which it isn't drawn farther whatever else
	stiffSize  = 0.12 // a stiff place with which no bow is finished
	sureChance = 0.9  // of a weak place that is sure
	leastCut   = 0.04 // of log stiffness, the deepest of a plan that is worth a pass while it may be drawn on
)

// besideStiffer says whether a weak place looks weak beside a larger stiff one on its limb: shares are of the
// limb's own scale, so what is stiff makes the rest look weak.
func (m *moment) besideStiffer(weak finding) bool {
	bulk := func(f finding) float64 { return math.Abs(f.Deviation.Estimate) * (f.To - f.From) }
	return slices.ContainsFunc(m.Findings, func(f finding) bool {
		return !f.Hinge && f.Side == weak.Side && bulk(f) > bulk(weak)
	})
}

// drawTellsMore says whether so little can come off, by what is known of the weight, that a longer pull is
// worth more than a pass. It isn't where the bow is surely under its weight.
func (m *moment) drawTellsMore() bool {
	deep := slices.ContainsFunc(m.cuts, func(c plan.Cut) bool { return c.Loss >= leastCut })
	return !deep && m.mayDraw() && m.plan != nil && m.plan.Now.ChanceUnder < sureChance
}

// uneven are the findings too large to finish a bow with.
func (m *moment) uneven() []finding {
	return m.found(func(f finding) bool {
		return f.Hinge && f.Deviation.Estimate >= weakSize || !f.Hinge && -f.Deviation.Estimate >= stiffSize
	})
}

// sayEven says how even a bow is in which nothing asks for the scraper; even is where nothing shows.
func (m *moment) sayEven(even string) string {
	if len(m.Findings) == 0 {
		return even
	}
	worst := m.found(func(finding) bool { return true })[0].Says
	if len(m.uneven()) > 0 {
		return worst
	}
	return "What's uneven is small: " + worst
}

// restOf is where the plan takes most beside a weak place: off the rest of its limb, or off the other limb
// where it takes nothing there.
func (m *moment) restOf(weak finding) (plan.Cut, bool) {
	beside := func(c plan.Cut) bool { return c.Side != weak.Side || overlap(c.Stretch, weak.From, weak.To) <= 0 }
	for _, of := range []func(plan.Cut) bool{
		func(c plan.Cut) bool { return c.Side == weak.Side && m.isRead(c) }, m.isRead,
		func(plan.Cut) bool { return true },
	} {
		cuts := slices.DeleteFunc(slices.Clone(m.cuts), func(c plan.Cut) bool { return !beside(c) || !of(c) })
		if cut, ok := largest(cuts); ok {
			return cut, true
		}
	}
	return plan.Cut{}, false
}

// isRead says whether a cut lies where its limb was read, and not between the handle and the first station.
func (m *moment) isRead(c plan.Cut) bool { return c.From >= m.firstStation(c.Side) }

// deepestIn is the plan's deepest cut within a finding, where the limb was read if it can be.
func (m *moment) deepestIn(f finding) (deepest plan.Cut, found bool) {
	for _, c := range m.cuts {
		if c.Side != f.Side || overlap(c.Stretch, f.From, f.To) <= 0 {
			continue
		}
		sooner := truth(m.isRead(c)) - truth(m.isRead(deepest))
		if !found || sooner > 0 || sooner == 0 && c.Loss > deepest.Loss {
			deepest, found = c, true
		}
	}
	return deepest, found
}

// doubtful says whether a pull's peak is among the readings out of place.
func (m *moment) doubtful(pull model.Pull) bool {
	return slices.ContainsFunc(m.Wild, func(w estimate.Wild) bool {
		return w.Where.Kind == estimate.Peak && session.SameDraw(measure.Length(w.Where.Draw), pull.Draw)
	})
}

// worthwhile is how much farther a longer pull goes at least, unless it reaches the order (in).
const worthwhile = 0.5

// mayDraw says whether the stop line lies farther out than the bow was drawn so far.
func (m *moment) mayDraw() bool {
	next, ok := m.Next.Get()
	if !ok || next.Draw <= m.longest {
		return false
	}
	isOrder := func(draw float64) bool {
		return session.SameDraw(measure.Length(draw), measure.Length(m.wanted.Draw))
	}
	return isOrder(next.Draw) && !isOrder(m.longest) || next.Draw >= m.longest+worthwhile
}

// pulls is how many pulls of this pass with a peak went to a draw (in).
func (m *moment) pulls(draw float64) (n int) {
	for _, pull := range m.pass.Pulls {
		if pull.Peak.Known() && session.SameDraw(pull.Draw, measure.Length(draw)) {
			n++
		}
	}
	return n
}

// firstStation is the innermost station of a limb that has a place to be read at (in).
func (m *moment) firstStation(side model.Side) float64 {
	for _, at := range m.Bow.Limbs[side].Stations {
		if at > 0 {
			return float64(at) / 2
		}
	}
	return 0
}

func blocksIn(p session.Pass) (n int) {
	for _, b := range p.Braced {
		if b.Block != nil {
			n++
		}
	}
	return n
}

func (m *moment) brace() float64 { return min(m.longest, usualBrace) }

// peakSlack is by how much one peak may be read too high (lb).
const peakSlack = 0.5

// usualBrace is as far as a bow goes that is braced and not drawn (common practice; in).
const usualBrace = 6.0

// toGo says how much too heavy the bow is, and of what the weight wanted on the tree is made up.
func (m *moment) toGo() string {
	wish := session.Capital(m.sayWish())
	if m.plan == nil {
		return wish + "."
	}
	over := m.plan.Now.Weight.Estimate - m.wanted.Weight
	if over <= m.wanted.Over {
		return wish + ": you're there, so this is for shape."
	}
	if over > plentyOver*m.wanted.Weight {
		return fmt.Sprintf("%s: %s to go. You have time: spend it on shape.", wish, m.force(over))
	}
	return fmt.Sprintf("%s: %s to go.", wish, m.force(over))
}

// plentyOver is how much too heavy a bow is, as a share of the weight wanted, while there's time for shape.
const plentyOver = 0.15

// thin says what to take where nothing is uneven: both limbs alike, or where most is to come off.
func (m *moment) thin() string {
	cut, ok := largest(m.cuts)
	if !ok {
		return "take wood off."
	}
	if m.both(cut) {
		cut.Loss = spread(m.cuts).Loss
		return fmt.Sprintf("thin both limbs evenly: %s.", m.deep(m.RemovalOf(cut)))
	}
	return fmt.Sprintf("scrape the %s limb %s: %s.", cut.Side, m.fromTo(cut.From, cut.To),
		m.deep(m.RemovalOf(cut)))
}

func (m *moment) both(cut plan.Cut) bool {
	return slices.ContainsFunc(m.cuts, func(c plan.Cut) bool { return c.Side != cut.Side })
}

// spread is one cut from the handle that takes as much as all cuts do, as far out as they go on their limbs.
func spread(cuts []plan.Cut) plan.Cut {
	sum, reach := 0.0, [2]float64{}
	for _, c := range cuts {
		sum += c.Loss * (c.To - c.From)
		reach[c.Side] = max(reach[c.Side], c.To)
	}
	all := cuts[0]
	all.From, all.To = 0, reach[all.Side]
	all.Loss = sum / (reach[model.Upper] + reach[model.Lower])
	return all
}

// offer is what can still be done with a bow that has too little weight on the tree, where what shortening
// brings may be known. A shorter draw is no way out: it weighs less still.
func (m *moment) offer(weight float64, shorten string) string {
	marked := math.Floor(float64(m.settings.Takes.Marked(measure.Force(weight))))
	ordered, allowed := float64(m.Bow.Order.Weight.Or(0)), float64(m.Bow.Order.Allow.Or(0))
	switch {
	case marked >= ordered || marked <= 0:
		return session.Capital(cmp.Or(shorten, "shortening it adds weight, and strain."))
	case marked >= ordered-allowed:
		return fmt.Sprintf("Offer it as %s: the order allows %s either way.",
			m.round(marked), m.round(allowed))
	}
	if shorten != "" {
		return fmt.Sprintf("Offer it as %s. Or %s", m.round(marked), shorten)
	}
	return fmt.Sprintf("Offer it as %s, or shorten it.", m.round(marked))
}

// truth orders false before true.
func truth(is bool) int {
	if is {
		return 1
	}
	return 0
}

// pull asks for a draw (in), scrape for wood off a stretch.
func (m *moment) pull(do Do, to float64, say, why string) (Verdict, bool) {
	v := Verdict{Do: do, Word: "PULL " + m.bare(to), Say: say, Why: why, Draw: measure.Some(to), Most: to}
	return v, true
}

func (m *moment) scrape(at Stretch, say, why string) (Verdict, bool) {
	return Verdict{Do: Scrape, Word: "SCRAPE", Say: say, Why: why, Stretch: measure.Some(at),
		Most: m.longest}, true
}
