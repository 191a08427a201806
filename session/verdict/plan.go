package verdict

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/session"
)

// RemovalOf gives a cut of any plan of this bow in the measures that are known.
func (a Advice) RemovalOf(c plan.Cut) Removal {
	bow := a.state.Bow()
	r := Removal{Cut: c, DepthShare: bow.DepthShare(c.Loss)}
	depth, known := bow.Depth(c.Side, (c.From+c.To)/2)
	if !known {
		return r
	}
	r.Depth = measure.Some(depth * r.DepthShare)
	if stroke, known := a.settings.Strokes.Of(a.tool, a.Bow.Wood); known {
		r.Strokes = measure.Some(stroke.Strokes(depth * r.DepthShare))
	}
	return r
}

// ScrapeOf is the entry that a cut makes once done. Where strokes are known they are what you count at the
// bench, and the readings give the depth: so the shop goes on learning what a stroke takes.
func (a Advice) ScrapeOf(c plan.Cut) model.Scrape {
	r := a.RemovalOf(c)
	from, to := measure.Length(c.From), measure.Length(c.To)
	e := model.Scrape{Limb: c.Side, From: from, To: to, Tool: a.tool, Strokes: r.Strokes}
	if r.Strokes.Known() {
		return e
	}
	e.DepthShare = measure.Some(r.DepthShare)
	if depth, known := r.Depth.Get(); known {
		e.Depth = measure.Some(measure.Length(depth))
	}
	return e
}

// Tool is what the bow was last scraped with.
func (a Advice) Tool() string { return a.tool }

// plan fills in the plan, what comes off by it, and whether the bow is done.
func (a *Advice) plan(story session.Story, before estimate.State) {
	wanted, why := a.wantedOfPlan()
	if why != "" {
		a.NoPlan = why
		return
	}
	if !a.state.Weighed() {
		a.NoPlan = "No plan yet: no peak was read."
		return
	}
	if story.Pass().Shortened && unread(story) {
		a.NoPlan = "No plan yet: you shortened it since you read it."
		return
	}
	p := Plan{state: a.state}
	p.Halt = a.halt(story)
	found := each(a.Findings, func(f finding) estimate.Finding { return f.Finding })
	its := found
	if unread(story) {
		p.state, its = before, nil
	}
	made, err := a.planOf(p.state, wanted, its)
	if err != nil {
		a.NoPlan = fmt.Sprintf("These readings don't make a plan: %v.", err)
		a.caution("%s", a.NoPlan)
		return
	}
	p.Plan = made
	p.Verdict = made.Judge(found)
	p.Logged = logged(story, made.Stretches)
	a.sayPlan(&p)
	a.Plan = measure.Some(p)
	if p.Halt == "" && p.Verdict == plan.Scrape {
		a.Removal = each(made.Cuts, a.RemovalOf)
	}
}

// planOf is the plan of a state of the bow by its findings, which are looked for where they are nil. One that
// was made before is taken over.
func (a *Advice) planOf(st estimate.State, wanted plan.Wanted, found []estimate.Finding) (plan.Plan, error) {
	p := planned{state: st, wanted: wanted, marks: a.marks(a.story)}
	known := func(other planned) bool {
		p.plan = other.plan
		return reflect.DeepEqual(p, other)
	}
	if !slices.ContainsFunc(a.folded.plans, known) {
		var err error
		if found == nil {
			found, err = st.Findings(wanted.Draw, wanted.Aim)
		}
		if err == nil {
			p.plan, err = plan.Make(st, wanted, p.marks, found)
		}
		if err != nil {
			return plan.Plan{}, err
		}
	}
	last := max(0, len(a.folded.plans)+1-plansKept)
	a.folded.plans = append(slices.Clip(a.folded.plans[last:]), p)
	return p.plan, nil
}

// plansKept are enough for the plan of this pass and that of the one before, made again after an entry.
const plansKept = 4

// wantedOfPlan is what the plan makes for, or what is missing in the order.
func (a *Advice) wantedOfPlan() (w plan.Wanted, why string) {
	draw, drawn := a.Bow.DrawToBelly().Get()
	weight, weighed := a.Wanted.Get()
	switch {
	case !a.Bow.Order.Draw.Known() && !weighed:
		return w, "No plan: the order has no draw and no weight."
	case !weighed:
		return w, "No plan: the order has no weight."
	case !a.Bow.Order.Draw.Known():
		return w, "No plan: the order has no draw."
	case !drawn:
		return w, "No plan: the draw was ordered to the back; type how deep the handle is."
	}
	w = plan.Wanted{
		Draw: float64(draw), Weight: float64(weight.Weight),
		Under: float64(weight.Weight - weight.Least), Over: float64(weight.Most - weight.Weight),
		Aim: a.Aim, TillerAt: a.aimPlace(), Tiller: float64(a.Bow.Aim.Tiller.Or(usualTiller)),
	}
	w.TillerAt = min(max(w.TillerAt, 0), float64(shorter(a.Bow)))
	return w, ""
}

// usualTiller is how much larger the upper gap should be where no aim says otherwise (common practice; in).
const usualTiller measure.Length = 0.25

func (a *Advice) halt(story session.Story) string {
	switch {
	case sanded(story):
		return "No reading shows what filing and sanding took."
	case unread(story):
		return sayUnread(story)
	case a.contradiction:
		return "The readings don't fit one bow."
	}
	return ""
}

// workSince is what was done to the bow since it was read last, the first of it that asks for a reading.
func workSince(story session.Story) (done model.Work) {
	for line := range session.Counting(story.LinesOf(story.Pass())) {
		switch line.What.(type) {
		case model.Relaxed, model.Braced, model.Pull:
			return model.Work{}
		}
		work := model.WorkOf(line.What, story.Bow())
		gently := done.Gently || work.Gently
		if done.Since == "" {
			done = work
		}
		done.Gently = gently
	}
	return done
}

func sayUnread(story session.Story) string {
	return fmt.Sprintf("%s since the last reading.", session.Capital(workSince(story).Since))
}

func unread(story session.Story) bool { return workSince(story).Since != "" }

// sanded says that finishing went beyond the nocks, and no wood was scraped off since.
func sanded(story session.Story) bool {
	done := false
	for line := range session.Counting(story.Lines) {
		done = done && !model.WorkOf(line.What, story.Bow()).Tiller
		if finished, is := line.What.(model.Finish); is {
			step := strings.ToLower(finished.Step)
			isStave := beginsWith(step, "rough", "floor", "temporary", "long", "low", "brace", "tiller")
			done = done || !isStave && !fitsNocks(step)
		}
	}
	return done
}

func fitsNocks(step string) bool {
	step = strings.ToLower(step)
	return strings.Contains(step, "nock") && !strings.Contains(step, "polish") && !beginsWith(step, "temporary")
}

// leastBetween is how near to a station a block's place is no mark of its own (in).
const leastBetween = 1.0

// marks are the places between which wood is taken: the stations, and where a block was laid on last
// between them.
func (a *Advice) marks(story session.Story) (all [2][]float64) {
	blocks := lastBlocks(story)
	for side, stations := range stationsOf(a.Bow) {
		all[side] = slices.DeleteFunc(stations, func(at float64) bool { return at <= 0 })
		for _, at := range blocks {
			b := float64(at)
			near := func(at float64) bool { return math.Abs(at-b) < leastBetween }
			if b > 0 && b < float64(a.Bow.Limbs[side].Length) && !slices.ContainsFunc(all[side], near) {
				all[side] = append(all[side], b)
			}
		}
		slices.Sort(all[side])
	}
	return all
}

// lastBlocks are the places of the last row of gaps under a block.
func lastBlocks(story session.Story) []measure.Length {
	last, ok := session.Last(story, func(b model.Braced) bool { return b.Block != nil })
	if !ok {
		return nil
	}
	return last.Block.At
}

// logged says of each stretch whether the most of it was scraped since the bow was read.
func logged(story session.Story, stretches []estimate.Stretch) []bool {
	done := make([]bool, len(stretches))
	if !unread(story) {
		return done
	}
	for _, scrape := range story.Pass().Scrapes {
		if scrape.TookNothing() {
			continue
		}
		for j, s := range stretches {
			if s.Side == scrape.Limb && overlap(s, float64(scrape.From), float64(scrape.To)) > (s.To-s.From)/2 {
				done[j] = true
			}
		}
	}
	return done
}

// overlap is how long a part of a stretch lies between two places (in).
func overlap(s estimate.Stretch, from, to float64) float64 {
	return max(min(s.To, to)-max(s.From, from), 0)
}

// meanLoss is what cuts take in the mean between two places of a limb, of log stiffness.
func meanLoss(cuts []plan.Cut, side model.Side, from, to float64) float64 {
	sum := 0.0
	for _, c := range cuts {
		if c.Side == side {
			sum += c.Loss * overlap(c.Stretch, from, to)
		}
	}
	return sum / (to - from)
}

// Outcome is what the bow is, or would be with some wood off. Bands are 90 %.
type Outcome struct {
	plan.Outcome
	// Limbs are how both limbs bend at places an inch or so apart, by Side.
	Limbs [2]estimate.Bending
	// Uneven is how unevenly they bend: the standard deviation of bend over the aim along the middle of the
	// limb, over its mean.
	Uneven [2]estimate.Figure
}

// mostOff is the most of the stiffness that can be tried to come off a stretch at once, as a fraction.
const mostOff = 0.5

// Count is how many strokes a cut is, else how many 1/64 in or 0.1 mm, else how many hundredths of the
// thickness; and what share of the depth one of them takes.
func (a Advice) Count(c plan.Cut) (n, each float64) {
	r := a.RemovalOf(c)
	depth, known := a.state.Bow().Depth(c.Side, (c.From+c.To)/2)
	stroke, counted := a.settings.Strokes.Of(a.tool, a.Bow.Wood)
	switch {
	case known && counted:
		each = stroke.Depth.Estimate / depth
	case known:
		each = either(a.Bow, 1.0/64, 0.01) / depth
	default:
		each = 0.01
	}
	return r.DepthShare / each, each
}

// CutBy is the cut of so many of what [Advice.Count] counts off a stretch. The error says how many may come
// off at once.
func (a Advice) CutBy(s estimate.Stretch, n float64) (plan.Cut, error) {
	c := plan.Cut{Stretch: s, Loss: -math.Log1p(-mostOff)}
	most, each := a.Count(c)
	if !(n >= 0 && n <= most) {
		return plan.Cut{}, fmt.Errorf("that's too much for one scraping: type 0 to %.0f", math.Floor(most))
	}
	c.Loss = a.state.Bow().Loss(n * each)
	return c, nil
}

// Try is what the bow would be with cuts of any plan; with none, what it is. It reads nothing that changes
// and may run beside everything else.
func (p Plan) Try(cuts []plan.Cut) (Outcome, error) {
	with, err := p.With(p.state, cuts)
	if err != nil {
		return Outcome{}, fmt.Errorf("trying the bow with wood off: %w", err)
	}
	e, err := with.State.Evenness(p.Wanted.Draw, p.Wanted.Aim, everyInch(p.state.Bow()), p.Wanted.TillerAt)
	if err != nil {
		return Outcome{}, fmt.Errorf("bending the bow with wood off: %w", err)
	}
	return Outcome{Outcome: with, Limbs: e.Limbs, Uneven: e.Uneven}, nil
}

// everyInch are places an inch or so apart along both limbs.
func everyInch(bow estimate.Bow) (at [2][]float64) {
	for side, limb := range bow.Limbs {
		n := math.Floor(limb.Length)
		for i := range int(n) {
			at[side] = append(at[side], (float64(i)+0.5)*limb.Length/n)
		}
	}
	return at
}

// muchAlike is how far apart neighbouring cuts may be, as a share of the larger, to be told as one.
const muchAlike = 0.15

// leastSaid is the shortest stretch that is told to be scraped, if its neighbours are scraped too (in).
const leastSaid = 3.9

// largest is the deepest cut, together with its neighbours that are much alike or without which it is too
// short to scrape, at their mean.
func largest(cuts []plan.Cut) (cut plan.Cut, ok bool) {
	if len(cuts) == 0 {
		return cut, false
	}
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
	first, last = longEnough(cuts, first, last)
	s := estimate.Stretch{Side: cuts[best].Side, From: cuts[first].From, To: cuts[last].To}
	return plan.Cut{Stretch: s, Loss: meanLoss(cuts, s.Side, s.From, s.To)}, true
}

// longEnough takes neighbours to some cuts, the deeper ones first, until they are long enough to be scraped.
func longEnough(cuts []plan.Cut, first, last int) (from, to int) {
	loss := func(i, beside int) float64 {
		if i < 0 || i == len(cuts) || cuts[i].Side != cuts[beside].Side ||
			cuts[max(i, beside)].From != cuts[min(i, beside)].To {
			return 0
		}
		return cuts[i].Loss
	}
	for cuts[last].To-cuts[first].From < leastSaid {
		before, after := loss(first-1, first), loss(last+1, last)
		switch {
		case before == 0 && after == 0:
			return first, last
		case before >= after:
			first--
		default:
			last++
		}
	}
	return first, last
}
