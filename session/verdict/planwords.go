package verdict

import (
	"fmt"
	"math"

	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/plan"
	"bendbook/session"
	"bendbook/session/shop"
)

// What a plan says in words: one line for the bench, and sentences.

// lastTool is what a bow was last scraped with.
func lastTool(story session.Story) string {
	tool := shop.UsualTool
	for _, p := range story.Passes {
		for _, s := range p.Scrapes {
			if s.Tool != "" {
				tool = s.Tool
			}
		}
	}
	return tool
}

// SayWanted is the weight wanted on the tree and of what it is made up: 42 lb wanted on the tree = marked 40 + settling 1 + sanding 1 (common
// practice); of what was learnt from the shop's own bows with the band and their number, unless it is to be short. "" where none was ordered.
func (a Advice) SayWanted(short bool) string {
	wanted, known := a.Wanted.Get()
	if !known {
		return ""
	}
	scale, takes := a.Bow.Weigher(), a.settings.Takes
	weight, marked := session.SayOrdered(a.Bow, wanted), scale.Short(a.Bow.Order.Weight.Or(0))
	settling, sanding := scale.Short(a.settings.Settling), scale.Short(a.settings.Sanding)
	switch {
	case short:
		return fmt.Sprintf("%s on the tree = marked %s + settling %s + sanding %s", weight, marked, settling, sanding)
	case takes.Settling.Count+takes.Sanding.Count == 0:
		return fmt.Sprintf("%s wanted on the tree = marked %s + settling %s + sanding %s (common practice)", weight, marked, settling, sanding)
	}
	learnt := func(taken string, from finish.Allowance) string {
		if from.Count == 0 {
			return fmt.Sprintf("%s (common practice)", taken)
		}
		return plain.Plural(from.Count, "%s (%s to %s by %d bow)", "%s (%s to %s by %d bows)", taken, scale.Print(max(from.Low, 0)), scale.Print(from.High), from.Count)
	}
	return fmt.Sprintf("%s wanted on the tree = marked %s + settling %s + sanding %s", weight, marked, learnt(settling, takes.Settling), learnt(sanding, takes.Sanding))
}

// band is a figure with its band: 47.0 lb (46.1 to 47.9).
func (a Advice) band(f estimate.Figure) string {
	scale := a.Bow.Weigher()
	return fmt.Sprintf("%s (%s to %s)", scale.WithUnit(measure.Force(f.Estimate)), scale.Print(measure.Force(f.Low)), scale.Print(measure.Force(f.High)))
}

// sayPlan fills in the plan's line and sentences.
func (a *Advice) sayPlan(p *Plan) {
	switch {
	case p.Halt != "":
		p.Says = []string{p.Halt}
		if p.Verdict == plan.Scrape && len(p.Logged) > 0 {
			p.Says = append(p.Says, "What is shown is the plan of the last reading.")
		}
	case p.Verdict == plan.Scrape:
		a.sayScraping(p)
	case p.Verdict == plan.Done:
		p.Line = "Done: weight and tiller are right, and no place shows uneven."
		p.Says = append([]string{fmt.Sprintf("Done: %s at %s is within the %s wanted, the tiller is as wanted, and no flat spot and no hinge shows.",
			a.band(p.Now.Weight), a.short(p.Wanted.Draw), a.sayRange(p.Wanted))}, a.sayUnshown()...)
	case p.Verdict == plan.Weak:
		a.sayWeak(p)
	case p.Verdict == plan.Left:
		p.Line = "The weight is right; what is left over, taking wood can't cure."
		p.Says = append([]string{fmt.Sprintf("The weight is right: %s at %s. What is left over can't be cured by taking wood without going under weight.",
			a.band(p.Now.Weight), a.short(p.Wanted.Draw))}, a.sayLeftOver(p.Plan)...)
		p.Says = append(p.Says, a.sayOffers(p.Plan))
	default:
		a.sayOpen(p)
	}
	p.Wish = session.Capital(a.SayWanted(false)) + "."
	p.Says = append(p.Says, p.Wish)
	if !a.Bow.Aim.Tiller.Known() {
		p.Says = append(p.Says, fmt.Sprintf("No tiller was asked for: an upper gap %s larger at %s is planned for (common practice).",
			a.length(p.Wanted.Tiller), a.short(p.Wanted.TillerAt)))
	}
}

// sureWeak is the chance of too little weight at which a bow is said to have too little; below it, that it may.
const sureWeak = 0.9

// sayWeak tells of a bow that is under weight, or likely is.
func (a *Advice) sayWeak(p *Plan) {
	least := a.force(p.Wanted.Least())
	if p.Now.ChanceUnder >= sureWeak {
		p.Line = fmt.Sprintf("Under weight: %s of %s wanted. Take no more wood.", a.force(p.Now.Weight.Estimate), a.force(p.Wanted.Weight))
		p.Says = append([]string{fmt.Sprintf("Under weight: %s at %s, %s wanted. Taking wood can't cure that, here or elsewhere.",
			a.band(p.Now.Weight), a.short(p.Wanted.Draw), a.force(p.Wanted.Weight))}, a.sayLeftOver(p.Plan)...)
	} else {
		p.Line = fmt.Sprintf("Perhaps under weight: %s of %s wanted. Take no wood.", a.force(p.Now.Weight.Estimate), a.force(p.Wanted.Weight))
		p.Says = append([]string{fmt.Sprintf("Perhaps under weight: %s at %s, less than %s by a chance of %s. Taking wood can't cure that.",
			a.band(p.Now.Weight), a.short(p.Wanted.Draw), least, sayChance(p.Now.ChanceUnder))}, a.sayWouldTell()...)
		p.Says = append(p.Says, a.sayLeftOver(p.Plan)...)
	}
	p.Says = append(p.Says, a.sayOffers(p.Plan))
}

// sayOpen tells of a bow from which nothing may be taken before its weight is known better.
func (a *Advice) sayOpen(p *Plan) {
	least := a.force(p.Wanted.Least())
	if p.Now.Weight.Estimate >= p.Wanted.Least() && p.Now.Weight.Estimate < p.Wanted.Weight {
		p.Line = fmt.Sprintf("Take no more: %s is at the lower edge of the weight wanted.", a.force(p.Now.Weight.Estimate))
		p.Says = []string{fmt.Sprintf("No more may be taken: %s at %s is at the lower edge of the %s wanted, and less than %s by a chance of %s.",
			a.band(p.Now.Weight), a.short(p.Wanted.Draw), a.sayRange(p.Wanted), least, sayChance(p.Now.ChanceUnder))}
	} else {
		p.Line = "Take nothing yet: the weight is not known well enough."
		p.Says = []string{fmt.Sprintf("Nothing may be taken yet: the weight is told as %s at %s, and wood off could bring it under %s, the least that is wanted.",
			a.band(p.Now.Weight), a.short(p.Wanted.Draw), least)}
	}
	p.Says = append(append(p.Says, a.sayLeftOver(p.Plan)...), a.sayWouldTell()...)
}

// sayRange is the weight that is right: 41.5 to 43.0 lb.
func (a *Advice) sayRange(w plan.Wanted) string {
	return fmt.Sprintf("%s to %s", a.Bow.Weigher().Print(measure.Force(w.Least())), a.force(w.Most()))
}

// sayScraping tells of a plan that takes wood.
func (a *Advice) sayScraping(p *Plan) {
	p.Line = fmt.Sprintf("Take %s", a.SayRemoval(a.RemovalOf(largest(p.Cuts))))
	why := fmt.Sprintf("The weight is near what is wanted: %s at %s. What is planned is for tiller and evenness.", a.band(p.Now.Weight), a.short(p.Wanted.Draw))
	if over := p.Now.Weight.Estimate - p.Wanted.Weight; p.Now.Weight.Estimate > p.Wanted.Most() {
		why = fmt.Sprintf("Too heavy by %s: %s at %s.", a.force(over), a.band(p.Now.Weight), a.short(p.Wanted.Draw))
	}
	p.Says = append(p.Says, why,
		fmt.Sprintf("The plan goes a share of the way only, for scraping is imprecise and can't be undone: after it %s. Then exercise the bow and read it again.", a.band(p.After.Weight)),
		fmt.Sprintf("The chance that this alone leaves it under %s is %s.", a.force(p.Wanted.Least()), sayChance(p.After.ChanceUnder)))
}

// muchAlike is how far apart neighbouring cuts may be, as a share of the larger, to be told as one.
const muchAlike = 0.15

// largest is the deepest cut, together with its neighbours that are much alike, at their mean.
func largest(cuts []plan.Cut) plan.Cut {
	best := 0
	for i, c := range cuts {
		if c.Loss > cuts[best].Loss {
			best = i
		}
	}
	first, last := best, best
	joins := func(i, j int) bool {
		return cuts[i].Side == cuts[j].Side && cuts[i].To == cuts[j].From
	}
	alike := func(i int) bool { return cuts[i].Loss >= (1-muchAlike)*cuts[best].Loss }
	for first > 0 && joins(first-1, first) && alike(first-1) {
		first--
	}
	for last+1 < len(cuts) && joins(last, last+1) && alike(last+1) {
		last++
	}
	one := plan.Cut{Stretch: cuts[best].Stretch}
	one.From, one.To = cuts[first].From, cuts[last].To
	one.Loss = meanLoss(cuts, one.Side, one.From, one.To)
	return one
}

// sayChance is a chance in whole per cent, never rounded down.
func sayChance(chance float64) string {
	if chance < 0.01 {
		return "below 1 %"
	}
	return fmt.Sprintf("%.0f %%", math.Ceil(100*chance-1e-9))
}

// SayRemoval tells one stretch: 14 % off the upper limb, 16 to 20 in: 0.025 in, 13 strokes.
func (a Advice) SayRemoval(r Removal) string {
	return fmt.Sprintf("%s off the %s limb, %s: %s", percents(r.Stiffness()), r.Side, a.places(r.From, r.To), a.SayDepth(r))
}

// SayDepth tells how deep a stretch is to be taken off, and in how many strokes, as far as that is known: 0.025 in, 13 strokes of the scraper.
func (a Advice) SayDepth(r Removal) string {
	depth, known := r.Depth.Get()
	if !known {
		return fmt.Sprintf("%.1f %% of the depth", 100*r.DepthShare)
	}
	deep := a.Bow.Calliper().WithUnit(measure.Length(depth))
	if n, known := r.Strokes.Get(); known {
		return plain.Plural(n, "%s, %d stroke of the %s", "%s, %d strokes of the %s", deep, n, a.tool)
	}
	return deep
}

// sayLeftOver names what is not as wanted besides the weight.
func (a *Advice) sayLeftOver(p plan.Plan) []string {
	var all []string
	hinge := false
	for _, f := range a.Findings {
		all = append(all, fmt.Sprintf("Left over: %s", f.Says))
		hinge = hinge || f.Hinge
	}
	if hinge {
		all = append(all, "A hinge can't be cured by removal there: only the rest of the limb could come down to it.")
	}
	if p.TillerOff() {
		rule := a.fineRule()
		all = append(all, fmt.Sprintf("Left over: the tiller at %s is %s, wanted %s.", a.length(p.Wanted.TillerAt),
			rule.PrintSigned(measure.Length(p.Now.Tiller.Estimate)), rule.PrintSigned(measure.Length(p.Wanted.Tiller))))
	}
	return all
}

// fineRule prints to half of the rule's usual step.
func (a *Advice) fineRule() measure.Rule {
	unit := a.Bow.Units.Length
	return measure.Rule{Unit: unit, Step: unit.DefaultStep() / 2}
}

// sayOffers is what trade practice offers where taking wood can't help.
func (a *Advice) sayOffers(p plan.Plan) string {
	marked := measure.Force(p.Now.Weight.Estimate) - a.settings.Settling - a.settings.Sanding
	lower := "a lower marked weight"
	if p.Now.Weight.Estimate < p.Wanted.Least() && marked > 0 {
		lower = fmt.Sprintf("a lower marked weight, about %s at %s", a.force(float64(marked)), a.short(p.Wanted.Draw))
	}
	return fmt.Sprintf("What trade practice offers, at the maker's own judgement: a shorter draw, which spares the limbs; %s; shortening, which adds weight and strain; heat, or setting back.", lower)
}

// sayWouldTell names the readings that would tell the weight, the first that would tell most.
func (a *Advice) sayWouldTell() []string {
	var all []string
	draw, longest := float64(a.Bow.DrawToBelly().Or(0)), a.state.Longest()
	next, ok := a.Next.Get()
	switch {
	case ok && next.Draw > longest+alike && longest < draw-alike:
		all = append(all, fmt.Sprintf("A pull nearer to the full draw would settle it; the next may go to %s.", a.length(next.Draw)))
	case longest < draw-alike:
		all = append(all, "Nearer to the full draw it would show, but no longer pull is allowed; more peaks at the draws so far would help.")
	default:
		all = append(all, "Another pull to the full draw would settle it: the scale's own error is most of what is open.")
	}
	return append(all, a.sayUnshown()...)
}

// sayUnshown names a stretch that the readings can't show, and what would.
func (a *Advice) sayUnshown() []string {
	if len(a.Unsure) == 0 {
		return nil
	}
	u := a.Unsure[0]
	return []string{fmt.Sprintf("Whether the %s limb bends evenly from %s the readings can't show. %s", u.Side, a.places(u.From, u.To), u.WouldSettle)}
}

// unexercised says that the readings of this pass were taken before the wood settled.
func (a *Advice) unexercised(story session.Story) {
	p := story.Pass()
	for _, s := range p.Scrapes {
		if !nothingOff(s) && p.Exercised == 0 && !unread(story) {
			a.caution("Not exercised since the last scrape: the readings may still move.")
			return
		}
	}
}
