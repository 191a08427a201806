package verdict

import (
	"fmt"
	"math"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/plan"
	"bendbook/session"
)

func (p *Plan) say(format string, args ...any) { p.Says = append(p.Says, fmt.Sprintf(format, args...)) }

// SayWanted says the weight wanted on the tree and its parts: 42 lb wanted on the tree = marked 40 +
// settling 1 + finishing 1 (common practice). Unless short, learnt parts come with their range and the number
// of bows. It returns "" without an ordered weight.
func (a Advice) SayWanted(short bool) string {
	wanted, known := a.wantedWeight().Get()
	if !known {
		return ""
	}
	takes := a.settings.Takes
	marked, settling, sanding := a.madeUp()
	verb, practice := " wanted", ""
	switch {
	case short:
		verb = ""
	case takes.Settling.Count+takes.Sanding.Count == 0:
		practice = " (common practice)"
	default:
		settling, sanding = learnt(a.Bow, settling, takes.Settling), learnt(a.Bow, sanding, takes.Sanding)
	}
	return fmt.Sprintf("%s%s on the tree = marked %s + settling %s + finishing %s%s",
		session.SayOrdered(a.Bow, wanted), verb, marked, settling, sanding, practice)
}

// madeUp are the summands of the weight wanted on the tree, so rounded that they add up to it.
func (a Advice) madeUp() (marked, settling, sanding string) {
	scale, order := a.Bow.Weigher(), a.Bow.Order.Weight.Or(0)
	use := scale.Round(a.settings.Takes.Settling.In(order))
	rest := scale.Round(a.wantedWeight().Or(0)) - scale.Round(order) - use
	return scale.Short(order), scale.Short(use), scale.Short(rest)
}

func learnt(bow model.Bow, taken string, from finish.Allowance) string {
	if from.Count == 0 {
		return taken + " (common practice)"
	}
	scale, marked := bow.Weigher(), float64(bow.Order.Weight.Or(0))
	of := func(share float64) string { return scale.Print(measure.Force(share * marked)) }
	return plain.Plural(from.Count, "%s (%s to %s by %d bow)", "%s (%s to %s by %d bows)",
		taken, of(max(from.Low, 0)), of(from.High), from.Count)
}

// sayWish is the weight wanted on the tree and its parts, in short: you want 42 lb on the tree
// (40 + 1 settling + 1 finishing).
func (a Advice) sayWish() string {
	marked, settling, sanding := a.madeUp()
	return fmt.Sprintf("you want %s on the tree (%s + %s settling + %s finishing)",
		session.SayOrdered(a.Bow, a.wantedWeight().Or(0)), marked, settling, sanding)
}

// sayPlan fills in the plan's sentences: what the bow is, and what it would be. What to do the verdict says.
func (a *Advice) sayPlan(p *Plan) {
	now, at := a.figure(p.Now.Weight), a.short(p.Wanted.Draw)
	least := a.force(p.Wanted.Least())
	switch {
	case p.Halt != "":
		p.say("%s", p.Halt)
		if p.Verdict == plan.Scrape && len(p.Logged) > 0 {
			p.say("This is the plan of the last reading.")
		}
	case p.Verdict == plan.Scrape:
		if weight := p.Now.Weight.Estimate; weight > p.Wanted.Most() {
			p.say("Too heavy by %s: %s at %s.", a.force(weight-p.Wanted.Weight), now, at)
		} else {
			p.say("Near its weight: %s at %s. This is for tiller and evenness.", now, at)
		}
		p.say("It goes only part of the way: wood can't be put back. After it, about %s.", a.figure(p.After.Weight))
		p.say("It may leave less than %s: a chance of %s.", least, sayChance(p.After.ChanceUnder))
	case p.Verdict == plan.Done:
		p.say("On its weight: %s at %s; %s is right. Tiller right, no stiff or weak place.",
			now, at, a.sayRange(p.Wanted))
	case p.Verdict == plan.Weak:
		p.say("Under weight: %s at %s; you want %s.", now, at, a.sayRange(p.Wanted))
		a.sayLeftOver(p)
	case p.Verdict == plan.Left:
		p.say("On its weight: %s at %s. Scraping won't fix what's left.", now, at)
		a.sayLeftOver(p)
	default:
		p.say("Near the least you want: %s at %s, with a chance of %s to be under %s. There's no wood to spare.",
			now, at, least, sayChance(p.Now.ChanceUnder))
		a.sayLeftOver(p)
	}
	p.Wish = session.Capital(a.SayWanted(false)) + "."
	p.Says = append(p.Says, p.Wish)
	if !a.Bow.Aim.Tiller.Known() {
		p.say("No tiller was asked for: the plan takes the upper gap %s larger at %s (common practice).",
			a.length(p.Wanted.Tiller), a.short(p.Wanted.TillerAt))
	}
}

// sayRange is the weight that is right: 41.5–43.0 lb.
func (a *Advice) sayRange(w plan.Wanted) string {
	return fmt.Sprintf("%s–%s", a.Bow.Weigher().Print(measure.Force(w.Least())), a.force(w.Most()))
}

// sayChance is a chance in whole per cent, never rounded down.
func sayChance(chance float64) string {
	if chance < 0.01 {
		return "below 1%"
	}
	return fmt.Sprintf("%.0f%%", math.Ceil(100*chance-1e-9))
}

// SayRemoval tells one stretch in all its measures: upper limb, 16–20 in: about 13 strokes, 1/64 in
// (scraper).
func (a Advice) SayRemoval(r Removal) string {
	says := a.deep(r)
	if r.Strokes.Known() && r.DepthShare > 0 {
		thickness := r
		thickness.Strokes = measure.Optional[int]{}
		says += fmt.Sprintf(", %s (%s)", a.SayOff(thickness), a.tool)
	}
	return fmt.Sprintf("%s limb, %s: %s", r.Side, a.places(r.From, r.To), says)
}

// SayOff is how much comes off a stretch, in few words: 13 strokes, 2/64 in, 0.4 mm or 6% of the thickness.
func (a Advice) SayOff(r Removal) string {
	if r.DepthShare <= 0 {
		return "nothing"
	}
	if n, counted := r.Strokes.Get(); counted {
		return plain.Plural(n, "%d stroke", "%d strokes", n)
	}
	depth, known := r.Depth.Get()
	switch {
	case !known:
		return fmt.Sprintf("%.0f%% of the thickness", max(100*r.DepthShare, 1))
	case metric(a.Bow):
		return fmt.Sprintf("%.1f mm", max(measure.Length(depth).In(measure.Millimetre), 0.1))
	}
	return fmt.Sprintf("%.0f/64 in", max(64*depth, 1))
}

// deep is how much to take: about 12 strokes, about 1/64 in off, or about a tenth of the thickness.
func (a Advice) deep(r Removal) string {
	switch {
	case r.DepthShare <= 0:
		return "nothing comes off"
	case r.Strokes.Known():
		return "about " + a.SayOff(r)
	case r.Depth.Known():
		return "about " + a.SayOff(r) + " off"
	}
	return "about " + part(r.DepthShare) + " of the thickness"
}

// part is a small fraction in a craftsman's words, the nearest of some: a tenth, a twentieth.
func part(f float64) (said string) {
	nearest := math.Inf(1)
	for _, p := range []struct {
		of   float64
		said string
	}{{4, "a quarter"}, {5, "a fifth"}, {6, "a sixth"}, {8, "an eighth"}, {10, "a tenth"}, {12, "a twelfth"},
		{15, "a fifteenth"}, {20, "a twentieth"}, {30, "a thirtieth"}, {40, "a fortieth"}, {50, "a fiftieth"},
		{70, "a seventieth"}, {100, "a hundredth"}} {
		if off := math.Abs(math.Log(f * p.of)); off < nearest {
			nearest, said = off, p.said
		}
	}
	return said
}

func (a *Advice) sayLeftOver(p *Plan) {
	for _, f := range a.Findings {
		p.say("Left over: %s", f.Says)
	}
	if p.TillerOff() {
		p.say("Left over: upper − lower at %s is %s, and you want %s.", a.short(p.Wanted.TillerAt),
			a.signed(p.Now.Tiller.Estimate), a.signed(p.Wanted.Tiller))
	}
}
