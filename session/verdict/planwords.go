package verdict

import (
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/plan"
	"bendbook/session"
)

func (p *Plan) say(format string, args ...any) { p.Says = append(p.Says, fmt.Sprintf(format, args...)) }

// SayWanted is the weight wanted on the tree and of what it is made up: 42 lb wanted on the tree = marked
// 40 + settling 1 + sanding 1 (common practice); of what was learnt from the shop's own bows with the band
// and their number, unless it is to be short. "" where none was ordered.
func (a Advice) SayWanted(short bool) string {
	wanted, known := a.Wanted.Get()
	if !known {
		return ""
	}
	scale, takes := a.Bow.Weigher(), a.settings.Takes
	settling, sanding := scale.Short(takes.Settling.Mean), scale.Short(takes.Sanding.Mean)
	verb, practice := " wanted", ""
	switch {
	case short:
		verb = ""
	case takes.Settling.Count+takes.Sanding.Count == 0:
		practice = " (common practice)"
	default:
		settling, sanding = learnt(scale, settling, takes.Settling), learnt(scale, sanding, takes.Sanding)
	}
	return fmt.Sprintf("%s%s on the tree = marked %s + settling %s + sanding %s%s",
		session.SayOrdered(a.Bow, wanted), verb, scale.Short(a.Bow.Order.Weight.Or(0)), settling, sanding, practice)
}

func learnt(scale measure.Scale, taken string, from finish.Allowance) string {
	if from.Count == 0 {
		return taken + " (common practice)"
	}
	return plain.Plural(from.Count, "%s (%s to %s by %d bow)", "%s (%s to %s by %d bows)",
		taken, scale.Print(max(from.Low, 0)), scale.Print(from.High), from.Count)
}

// sayPlan fills in the plan's line and sentences.
func (a *Advice) sayPlan(p *Plan) {
	now, at := a.band(p.Now.Weight), a.short(p.Wanted.Draw)
	switch {
	case p.Halt != "":
		p.say("%s", p.Halt)
		if p.Verdict == plan.Scrape && len(p.Logged) > 0 {
			p.say("What is shown is the plan of the last reading.")
		}
	case p.Verdict == plan.Scrape:
		a.sayScraping(p, now, at)
	case p.Verdict == plan.Done:
		p.Line = "Done: weight and tiller are right, and no place shows uneven."
		p.say("Done: %s at %s is within the %s wanted, the tiller is as wanted, "+
			"and no flat spot and no hinge shows.", now, at, a.sayRange(p.Wanted))
		a.sayUnshown(p)
	case p.Verdict == plan.Weak:
		a.sayWeak(p, now, at)
	case p.Verdict == plan.Left:
		p.Line = "The weight is right; what is left over, taking wood can't cure."
		p.say("The weight is right: %s at %s. "+
			"What is left over can't be cured by taking wood without going under weight.", now, at)
		a.sayLeftOver(p)
		a.sayOffers(p)
	default:
		a.sayOpen(p, now, at)
	}
	p.Wish = session.Capital(a.SayWanted(false)) + "."
	p.Says = append(p.Says, p.Wish)
	if !a.Bow.Aim.Tiller.Known() {
		p.say("No tiller was asked for: an upper gap %s larger at %s is planned for (common practice).",
			a.length(p.Wanted.Tiller), a.short(p.Wanted.TillerAt))
	}
}

// sureWeak is the chance of too little weight at which a bow is said to have too little; below it, that it
// may.
const sureWeak = 0.9

// sayWeak tells of a bow that is under weight, or likely is.
func (a *Advice) sayWeak(p *Plan, now, at string) {
	weight, wanted := a.force(p.Now.Weight.Estimate), a.force(p.Wanted.Weight)
	if p.Now.ChanceUnder >= sureWeak {
		p.Line = fmt.Sprintf("Under weight: %s of %s wanted. Take no more wood.", weight, wanted)
		p.say("Under weight: %s at %s, %s wanted. Taking wood can't cure that, here or elsewhere.", now, at, wanted)
	} else {
		p.Line = fmt.Sprintf("Perhaps under weight: %s of %s wanted. Take no wood.", weight, wanted)
		p.say("Perhaps under weight: %s at %s, less than %s by a chance of %s. Taking wood can't cure that.",
			now, at, a.force(p.Wanted.Least()), sayChance(p.Now.ChanceUnder))
		a.sayWouldTell(p)
	}
	a.sayLeftOver(p)
	a.sayOffers(p)
}

// sayOpen tells of a bow from which nothing may be taken before its weight is known better.
func (a *Advice) sayOpen(p *Plan, now, at string) {
	weight, least := p.Now.Weight.Estimate, p.Wanted.Least()
	if weight >= least && weight < p.Wanted.Weight {
		p.Line = fmt.Sprintf("Take no more: %s is at the lower edge of the weight wanted.", a.force(weight))
		p.say("No more may be taken: %s at %s is at the lower edge of the %s wanted, "+
			"and less than %s by a chance of %s.",
			now, at, a.sayRange(p.Wanted), a.force(least), sayChance(p.Now.ChanceUnder))
	} else {
		p.Line = "Take nothing yet: the weight is not known well enough."
		p.say("Nothing may be taken yet: the weight is told as %s at %s, and wood off could bring it under %s, "+
			"the least that is wanted.", now, at, a.force(least))
	}
	a.sayLeftOver(p)
	a.sayWouldTell(p)
}

// sayRange is the weight that is right: 41.5 to 43.0 lb.
func (a *Advice) sayRange(w plan.Wanted) string {
	return fmt.Sprintf("%s to %s", a.Bow.Weigher().Print(measure.Force(w.Least())), a.force(w.Most()))
}

// sayScraping tells of a plan that takes wood.
func (a *Advice) sayScraping(p *Plan, now, at string) {
	p.Line = fmt.Sprintf("Take %s", a.SayRemoval(a.RemovalOf(largest(p.Cuts))))
	if weight := p.Now.Weight.Estimate; weight > p.Wanted.Most() {
		p.say("Too heavy by %s: %s at %s.", a.force(weight-p.Wanted.Weight), now, at)
	} else {
		p.say("The weight is near what is wanted: %s at %s. What is planned is for tiller and evenness.", now, at)
	}
	p.say("The plan goes a share of the way only, for scraping is imprecise and can't be undone: after it %s. "+
		"Then exercise the bow and read it again.", a.band(p.After.Weight))
	p.say("The chance that this alone leaves it under %s is %s.",
		a.force(p.Wanted.Least()), sayChance(p.After.ChanceUnder))
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
	joins := func(i, j int) bool { return cuts[i].Side == cuts[j].Side && cuts[i].To == cuts[j].From }
	alike := func(i int) bool { return cuts[i].Loss >= (1-muchAlike)*cuts[best].Loss }
	for first > 0 && joins(first-1, first) && alike(first-1) {
		first--
	}
	for last+1 < len(cuts) && joins(last, last+1) && alike(last+1) {
		last++
	}
	s := estimate.Stretch{Side: cuts[best].Side, From: cuts[first].From, To: cuts[last].To}
	return plan.Cut{Stretch: s, Loss: meanLoss(cuts, s.Side, s.From, s.To)}
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
	return fmt.Sprintf("%s off the %s limb, %s: %s",
		percents(r.Stiffness()), r.Side, a.places(r.From, r.To), a.SayDepth(r))
}

// SayDepth tells how deep a stretch is to be taken off, and in how many strokes, as far as that is known:
// 0.025 in, 13 strokes of the scraper.
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
func (a *Advice) sayLeftOver(p *Plan) {
	hinge := false
	for _, f := range a.Findings {
		p.say("Left over: %s", f.Says)
		hinge = hinge || f.Hinge
	}
	if hinge {
		p.say("A hinge can't be cured by removal there: only the rest of the limb could come down to it.")
	}
	if p.TillerOff() {
		rule := a.fineRule()
		p.say("Left over: the tiller at %s is %s, wanted %s.", a.length(p.Wanted.TillerAt),
			rule.PrintSigned(measure.Length(p.Now.Tiller.Estimate)), rule.PrintSigned(measure.Length(p.Wanted.Tiller)))
	}
}

// sayOffers is what trade practice offers where taking wood can't help.
func (a *Advice) sayOffers(p *Plan) {
	takes := a.settings.Takes
	marked := measure.Force(p.Now.Weight.Estimate) - takes.Settling.Mean - takes.Sanding.Mean
	lower := "a lower marked weight"
	if p.Now.Weight.Estimate < p.Wanted.Least() && marked > 0 {
		lower += fmt.Sprintf(", about %s at %s", a.force(float64(marked)), a.short(p.Wanted.Draw))
	}
	p.say("What trade practice offers, at the maker's own judgement: a shorter draw, which spares the limbs; "+
		"%s; shortening, which adds weight and strain; heat, or setting back.", lower)
}

// sayWouldTell names the readings that would tell the weight, the first that would tell most.
func (a *Advice) sayWouldTell(p *Plan) {
	draw, longest := float64(a.Bow.DrawToBelly().Or(0)), a.state.Longest()
	next, ok := a.Next.Get()
	switch {
	case longest >= draw-alike:
		p.say("Another pull to the full draw would settle it: the scale's own error is most of what is open.")
	case ok && next.Draw > longest+alike:
		p.say("A pull nearer to the full draw would settle it; the next may go to %s.", a.length(next.Draw))
	default:
		p.say("Nearer to the full draw it would show, but no longer pull is allowed; " +
			"more peaks at the draws so far would help.")
	}
	a.sayUnshown(p)
}

// sayUnshown names a stretch that the readings can't show, and what would.
func (a *Advice) sayUnshown(p *Plan) {
	if len(a.Unsure) > 0 {
		u := a.Unsure[0]
		p.say("Whether the %s limb bends evenly from %s the readings can't show. %s",
			u.Side, a.places(u.From, u.To), u.WouldSettle)
	}
}

// unexercised says that the readings of this pass were taken before the wood settled.
func (a *Advice) unexercised(story session.Story) {
	p := story.Pass()
	took := slices.ContainsFunc(p.Scrapes, func(s model.Scrape) bool { return !nothingOff(s) })
	if took && p.Exercised == 0 && !unread(story) {
		a.caution("Not exercised since the last scrape: the readings may still move.")
	}
}
