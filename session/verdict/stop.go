package verdict

import (
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/wood"
	"bendbook/session"
)

// How far draws may differ (in).
const (
	alike     = 1e-6    // that only the conversion of units tells apart
	lineSlack = 1.0 / 8 // by the rule and the hand on the rope
)

// next fills in the next pull and warns of pulls that went too far.
func (a *Advice) next(story session.Story, before estimate.State) {
	if a.Bow.Rig.Guessed() {
		a.caution("A scale on the rope reads 5 to 15%% high, so ranges are wide. Pull once to the same draw " +
			"with the scale at the hook. Type both readings in the settings, at \"reads high by\".")
	}
	stop, err := a.stop()
	if err != nil {
		a.caution("The stop line can't be calculated: %v.", err)
		return
	}
	a.Next = measure.Some(nextPull{Stop: stop, StopAt: a.wantedWeight(), Because: a.sayReason(stop)})
	a.overdone(story, before)
}

// pullStep is how far a pull may go beyond those before (common practice; in).
func pullStep(bow model.Bow) float64 { return either(bow, 2, 5) }

// Near the order a pull goes by half a step, and within lastStep of it up to the most that is wanted (common
// practice; in).
const (
	nearOrder = 4.0
	lastStep  = 1.0
)

// stop is the stop line by all that limits the next pull.
func (a *Advice) stop() (estimate.Stop, error) {
	order, wanted := float64(a.Bow.DrawToBelly().Or(0)), a.Wanted.Or(finish.Wanted{})
	limits := estimate.Limits{Weight: float64(wanted.Weight), Draw: order, Strain: a.strainLimit()}
	longest, step := a.state.Longest(), pullStep(a.Bow)
	if order > 0 && longest > 0 && longest >= order-nearOrder {
		step /= 2
	}
	if far := longest + step; longest > 0 && step < pullStep(a.Bow) && far < order {
		limits.Draw = far
	}
	stop, err := a.state.Stop(limits)
	if err != nil {
		return stop, err
	}
	if stop.Because == estimate.ByOrder && limits.Draw < order {
		stop.Because = estimate.ByStep
	}
	if short := order - stop.Draw; stop.Because == estimate.ByWeight && short > alike && short <= lastStep {
		// So near the order the most that is wanted is the limit: a bow that is right must come to its draw.
		limits.Weight = float64(wanted.Most)
		if stop, err = a.state.Stop(limits); err != nil {
			return stop, err
		}
	}
	return a.roundStop(stop, limits), nil
}

// roundStop is a stop line in round figures of a metric shop, no farther than the estimate's: half a
// centimetre for its eighth of an inch, and 5 cm beyond the longest pull for its 2 in.
func (a *Advice) roundStop(stop estimate.Stop, limits estimate.Limits) estimate.Stop {
	if !metric(a.Bow) || stop.Draw <= 0 || stop.Because == estimate.ByOrder {
		return stop
	}
	draw, longest := stop.Draw, a.state.Longest()
	if far := longest + pullStep(a.Bow); stop.Because == estimate.ByStep && longest > 0 && far <= draw {
		draw = far
	} else {
		half := float64(measure.Centimetre.Length(0.5))
		draw = half * math.Floor(draw/half+1e-6)
	}
	limits.Draw = draw
	round, err := a.state.Stop(limits)
	if err != nil || math.Abs(round.Draw-draw) > alike {
		return stop // so short a pull that there is none at round figures
	}
	round.Because = stop.Because
	return round
}

// overdone warns when the last pull weighed more than is wanted, or went beyond its stop line, the ordered
// draw, or the ones before by more than a pull should.
func (a *Advice) overdone(story session.Story, before estimate.State) {
	longest := measure.Length(0)
	var last model.Pull
	var line session.Line
	for l := range session.Counting(story.Lines) {
		if pull, ok := l.What.(model.Pull); ok {
			longest = max(longest, last.Draw)
			last, line = pull, l
		}
	}
	if line.What == nil {
		return
	}
	peak, weighed := last.Peak.Get()
	wanted, known := a.Wanted.Get()
	if weighed && known && peak > wanted.Most {
		a.caution("The last pull weighed %s%s, more than %s, the most you want.",
			a.force(float64(peak)), a.Bow.Rig.AtTheHook(), a.force(float64(wanted.Most)))
	} else if story.InHand && !a.Weighed.Known() {
		// A finished bow is drawn its full draw whatever a line that was meant for the tree said.
		a.passedLine(story, line, float64(last.Draw), before)
	}
	// A step that is round in the unit of the record is no bold one in the unit that is shown.
	step := max(pullStep(a.Bow), pullStep(a.Bow.AsKept()))
	if beyond := float64(last.Draw - longest); longest > 0 && beyond > step+alike {
		a.caution("The last pull went %s beyond any before; %s at a time is plenty.",
			a.length(beyond), a.short(pullStep(a.Bow)))
	}
	if draw, ordered := a.Bow.DrawToBelly().Get(); ordered && last.Draw > draw+alike {
		a.caution("The last pull went beyond the ordered draw of %s.", a.length(float64(draw)))
	}
}

// passedLine warns of a last pull that went beyond the stop line that weight or strain had set for it, also
// where its peak turned out to be within what is wanted: the line stands for more than the peak.
func (a *Advice) passedLine(story session.Story, last session.Line, draw float64, before estimate.State) {
	if last.Pass != a.Pass {
		return // wood came off since
	}
	passes := passesBefore(story, last.Entry.ID, a.settings.Strokes)
	if !slices.ContainsFunc(passes, isRead) {
		return
	}
	// By round figures of the record's units, so that a pull is not blamed for the units that it is shown in.
	then := Advice{Bow: a.Bow.AsKept(), Wanted: a.Wanted, settings: a.settings}
	// Contradictory readings leave the state without them, as they did when the pass was folded whole.
	then.state, _ = before.Fold(passes[len(passes)-1])
	line, err := then.stop()
	if err != nil || draw <= line.Draw+lineSlack {
		return
	}
	why := ""
	switch line.Because {
	case estimate.ByWeight:
		why = "the weight wanted on the tree"
	case estimate.ByStrain:
		why = "the strain that this wood should stand"
	default:
		return
	}
	where := "the stop line, which allowed no pull,"
	if line.Draw > 0 {
		where = fmt.Sprintf("the stop line of %s", a.length(line.Draw))
	}
	a.caution("The last pull, to %s, went beyond %s that %s had set.",
		a.length(draw), where, why)
}

// sayReason says in a few words what limits the next pull.
func (a *Advice) sayReason(s estimate.Stop) string {
	wanted := a.force(float64(a.Wanted.Or(finish.Wanted{}).Weight))
	switch {
	case s.Because == estimate.ByWeight && s.Draw == 0:
		return fmt.Sprintf("even a short pull may pass the %s you want", wanted)
	case s.Because == estimate.ByWeight:
		return fmt.Sprintf("farther out it may pass the %s you want", wanted)
	case s.Because == estimate.ByOrder:
		return "that's the ordered draw"
	case s.Because == estimate.ByStrain:
		return fmt.Sprintf("farther out, the surface may stretch more than this wood stands (%.1f%%)",
			100*a.strainLimit())
	case s.Because == estimate.ByReach:
		return "the estimate reaches no farther"
	case a.state.Longest() > 0:
		return fmt.Sprintf("%s beyond the longest so far", a.short(s.Draw-a.state.Longest()))
	}
	return "a first, short pull"
}

// SayStop is the stop line, no farther than the verdict allows: 24 in, 41.4 lb (41.1–41.7); 2 in beyond the
// longest so far. It is "" for a bow that isn't drawn any more.
func (a Advice) SayStop(v Verdict) string {
	next, ok := a.NextBy(v).Get()
	switch {
	case !ok:
		return ""
	case next.Draw <= 0 && v.Most <= 0:
		return "Stop line: none; don't draw it for now."
	case next.Draw <= 0:
		return fmt.Sprintf("Stop line: none yet; %s.", next.Because)
	case next.Force.Estimate > 0:
		return fmt.Sprintf("Stop line: %s, %s%s; %s.", a.length(next.Draw), a.Expected(next), a.letDown(next),
			next.Because)
	}
	return fmt.Sprintf("Stop line: %s; %s.", a.length(next.Draw), next.Because)
}

// NextBy is the stop line, no farther than the verdict allows; unread for a bow that isn't drawn any more.
func (a Advice) NextBy(v Verdict) measure.Optional[nextPull] {
	next, ok := a.Under(v).Next.Get()
	if !ok || v.Do == Finish || v.Do == None {
		return measure.Optional[nextPull]{}
	}
	if next.Draw > v.Most {
		next.Draw, next.Because = v.Most, "no farther for now"
		next.Forecast = a.forecastAt(v.Most)
	}
	return measure.Some(next)
}

// forecastAt is the weight at a draw; its figures are 0 where the bow can't be drawn so.
func (a Advice) forecastAt(draw float64) estimate.Forecast {
	if points, err := a.state.Forecast(draw); err == nil && len(points) == 1 {
		return points[0]
	}
	return estimate.Forecast{Draw: draw}
}

// strainLimit is the surface strain that the wood stands by a sure source; 0 where there is none.
func (a *Advice) strainLimit() float64 {
	w, _ := wood.Find(a.Bow.Wood)
	if !w.StrainSure() {
		return 0
	}
	return w.StrainLow
}
