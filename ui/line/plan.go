package line

import (
	"errors"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/model/say"
	"bendbook/session/advice"
	"bendbook/session/sheet"
)

// planning is where wood is to be taken, and what the bow would then be. Nothing of it is in the book before it is logged.
type planning struct {
	of      *bench
	told    int // entries of the story that the plan is of
	plan    advice.Plan
	planned []float64 // by stretch, the fraction of stiffness that the plan takes
	take    []float64 // and what the maker makes of it
}

func newPlan(b *bench) *planning { return &planning{of: b, told: -1} }

func (p *planning) name() string { return say.F("%s, plan", p.of.name()) }

// refresh makes the plan anew where an entry was added.
func (p *planning) refresh() error {
	says, err := p.of.says()
	if err != nil {
		return err
	}
	if p.told == p.of.told {
		return nil
	}
	made, ok := says.Plan.Get()
	if !ok {
		return refuse(says.NoPlan)
	}
	p.told, p.plan = p.of.told, made
	p.planned = make([]float64, len(made.Stretches))
	for _, c := range made.Cuts {
		for j, s := range made.Stretches {
			if s == c.Stretch {
				p.planned[j] = c.Stiffness()
			}
		}
	}
	p.take = append([]float64(nil), p.planned...)
	return nil
}

func (p *planning) arrive() error {
	if err := p.refresh(); err != nil {
		p.of.say(ended(err.Error()))
		return errLeft
	}
	for _, text := range p.plan.Says {
		p.of.say(spoken(text))
	}
	p.list(false)
	return p.outcome()
}

func (p *planning) commands() []command {
	write := p.of.mayWrite
	return []command{
		{letter: "l", word: "list", long: "Read the stretches from which wood is to come off.", do: func(string) error { p.list(false); return nil }},
		{letter: "L", word: "all", long: "Read all stretches.", do: func(string) error { p.list(true); return nil }},
		{letter: "+", word: "take", takes: say.It("NUMBER PERCENT"), long: "Take so much of the stiffness off a stretch, by its number in the list; 0 takes nothing there.", do: p.change},
		{letter: "r", word: say.It("as planned"), takes: "NUMBER", long: "Take off a stretch what was planned.", do: func(rest string) error {
			j, err := p.stretch(rest)
			if err != nil {
				return err
			}
			p.take[j] = p.planned[j]
			return p.outcome()
		}},
		{letter: "R", word: say.It("all as planned"), long: "Take everywhere what was planned.", do: func(string) error { copy(p.take, p.planned); return p.outcome() }},
		{letter: "o", word: "outcome", long: "Read what the bow would be.", do: func(string) error { return p.outcome() }},
		{letter: "s", word: "scrape", takes: "NUMBER", off: write, long: "Enter what was scraped off a stretch, filled in with what is to come off.", do: p.scrape},
		{letter: "d", word: "done", off: write, long: "Log all stretches from which wood is to come off as done so. It is asked about once: the same line again logs them.", do: func(string) error { return p.logAll() }},
		back("Go back to the bench; what was changed of the plan is dropped."),
	}
}

func (p *planning) other(string) (bool, error) { return false, nil }

// list reads the stretches that lose wood, or all.
func (p *planning) list(all bool) {
	any := false
	for j := range p.plan.Stretches {
		if all || p.take[j] > 0 {
			p.of.sayf("%d: %s.", j+1, p.sayStretch(j))
			any = true
		}
	}
	if !any {
		p.of.say(say.It("Nothing is to come off."))
	}
}

func (p *planning) sayStretch(j int) string {
	s := p.plan.Stretches[j]
	rule := p.of.bow().Ruler()
	text := say.F("%s limb, %s to %s: nothing", s.Side, rule.Short(lengthOf(s.From)), rule.WithUnit(lengthOf(s.To)))
	if c, err := advice.CutOf(s, p.take[j]); err == nil && c.Loss > 0 {
		says, _ := p.of.says()
		text = says.SayRemoval(says.RemovalOf(c))
	}
	switch {
	case p.plan.Logged[j]:
		text += "; " + say.It("logged")
	case p.take[j] != p.planned[j]:
		text += "; " + say.F("planned %.0f %%", 100*p.planned[j])
	}
	return text
}

// stretch is the stretch with a number.
func (p *planning) stretch(number string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(number))
	if err != nil || n < 1 || n > len(p.plan.Stretches) {
		return 0, refuse(say.F("%q is no stretch; expected its number, from 1 to %d", number, len(p.plan.Stretches)))
	}
	return n - 1, nil
}

func (p *planning) change(rest string) error {
	words := strings.Fields(strings.TrimSuffix(rest, "%"))
	if len(words) != 2 {
		return refuse(say.It("expected the number of a stretch, and per cent of its stiffness"))
	}
	j, err := p.stretch(words[0])
	if err != nil {
		return err
	}
	v, err := strconv.ParseFloat(strings.Replace(words[1], ",", ".", 1), 64)
	if err != nil || !(v >= 0 && v <= 100*advice.MostStiffness) {
		return refuse(say.F("%q is too much or no number; expected 0 to %.0f per cent of the stiffness", words[1], 100*advice.MostStiffness))
	}
	p.take[j] = v / 100
	p.of.sayf("%d: %s.", j+1, p.sayStretch(j))
	return p.outcome()
}

func (p *planning) cuts() []plan.Cut {
	var all []plan.Cut
	for j, s := range p.plan.Stretches {
		if c, err := advice.CutOf(s, p.take[j]); err == nil && c.Loss > 0 {
			all = append(all, c)
		}
	}
	return all
}

// outcome says what the bow is, would be, and is wanted to be.
func (p *planning) outcome() error {
	now, err := p.plan.Try(nil)
	if err != nil {
		return err
	}
	after, err := p.plan.Try(p.cuts())
	if err != nil {
		return err
	}
	bow := p.of.bow()
	scale, wanted := bow.Weigher(), p.plan.Wanted
	rule := measure.Rule{Unit: bow.Units.Length, Step: bow.Units.Length.DefaultStep() / 2}
	weight := func(f estimate.Figure) string {
		return say.F("%s (%s to %s)", scale.WithUnit(measure.Force(f.Estimate)), scale.Print(measure.Force(f.Low)), scale.Print(measure.Force(f.High)))
	}
	tiller := func(f estimate.Figure) string {
		return say.F("%s (%s to %s)", rule.PrintSigned(lengthOf(f.Estimate)), rule.PrintSigned(lengthOf(f.Low)), rule.PrintSigned(lengthOf(f.High)))
	}
	p.of.say(spoken(say.F("Weight at %s: now %s; after it %s; wanted %s to %s.", bow.Ruler().WithUnit(lengthOf(wanted.Draw)), weight(now.Weight), weight(after.Weight),
		scale.Print(measure.Force(wanted.Least())), scale.WithUnit(measure.Force(wanted.Most())))))
	p.of.say(spoken(say.F("Upper less lower gap at %s: now %s; after it %s; wanted %s.", bow.Ruler().WithUnit(lengthOf(wanted.TillerAt)), tiller(now.Tiller), tiller(after.Tiller),
		rule.PrintSigned(lengthOf(wanted.Tiller)))))
	for _, side := range model.Sides {
		if u := after.Uneven[side]; u != (estimate.Figure{}) {
			p.of.sayf("Uneven, %s limb: now %.0f %%, after it %.0f %%.", side, 100*now.Uneven[side].Estimate, 100*u.Estimate)
		}
	}
	if chance := after.ChanceUnder; chance > plan.MostChance && len(p.cuts()) > 0 {
		p.of.sayf("Too much: it may weigh less than %s then, by a chance of %.0f %%.", scale.WithUnit(measure.Force(wanted.Least())), 100*chance)
	}
	return nil
}

func (p *planning) scrape(rest string) error {
	j, err := p.stretch(rest)
	if err != nil {
		return err
	}
	c, err := advice.CutOf(p.plan.Stretches[j], p.take[j])
	if err != nil || c.Loss == 0 {
		return refuse(say.It("nothing is to come off there"))
	}
	says, err := p.of.says()
	if err != nil {
		return err
	}
	if err := p.of.enter(sheet.ScrapeCut(p.of.atWork.Story(), says.ScrapeOf(c)), ""); err != nil {
		return err
	}
	return p.again()
}

// again takes up what an entry changed of the plan.
func (p *planning) again() error {
	err := p.refresh()
	var why refusal
	if errors.As(err, &why) {
		p.of.say(ended(why.Error()))
		return errLeft
	}
	return err
}

// logAll logs all that is to come off and was not logged since the bow was read, when it is said again.
func (p *planning) logAll() error {
	says, err := p.of.says()
	if err != nil {
		return err
	}
	var events []model.Event
	for j, s := range p.plan.Stretches {
		if c, err := advice.CutOf(s, p.take[j]); err == nil && c.Loss > 0 && !p.plan.Logged[j] {
			events = append(events, says.ScrapeOf(c))
		}
	}
	if len(events) == 0 {
		return refuse(say.It("there is nothing to log: nothing is to come off, or all of it is logged"))
	}
	if !p.of.sure(p.of.heard, say.F("%s would be logged as scraped so with the %s.", say.N(len(events), "%d stretch", "%d stretches", len(events)), says.Tool())) {
		return nil
	}
	if err := p.of.atWork.AddAll(events...); err != nil {
		return err
	}
	p.of.sayf("Saved: %s. Exercise the bow, then read it.", say.N(len(events), "%d scraping", "%d scrapings", len(events)))
	return p.again()
}
