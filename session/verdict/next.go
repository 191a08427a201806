package verdict

import (
	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// NextPull is the stop line of the next pull.
type NextPull struct {
	estimate.Stop
	// StopAt is the weight at which to stop whatever the draw.
	StopAt measure.Optional[measure.Force]
	// Because says in words what limits the pull.
	Because string
}

// next fills in the next pull and warns of pulls that went too far.
func (a *Advice) next(story session.Story, before estimate.State) {
	stop, err := a.stop()
	if err != nil {
		a.caution("The stop line can't be calculated: %v. Don't pull farther than so far.", err)
		return
	}
	a.Next = measure.Some(NextPull{Stop: stop, StopAt: a.Wanted, Because: a.sayReason(stop)})
	a.overdone(story, before)
}

// stop is the stop line by all that limits the next pull.
func (a *Advice) stop() (estimate.Stop, error) {
	limits := estimate.Limits{
		Weight: float64(a.Wanted.Or(0)), Draw: float64(a.Bow.DrawToBelly().Or(0)), Strain: a.strainLimit(),
	}
	stop, err := a.state.Stop(limits)
	if err != nil {
		return stop, err
	}
	return a.roundStop(stop, limits), nil
}

// overdone warns when the last pull weighed more than is wanted, went beyond its stop line, or farther beyond the ones before than a
// pull should.
func (a *Advice) overdone(story session.Story, before estimate.State) {
	longest := measure.Length(0)
	var last model.Pull
	var line session.Line
	pulls := 0
	for _, l := range story.Lines {
		if pull, ok := l.Entry.What.(model.Pull); ok && l.Counts() {
			longest = max(longest, last.Draw)
			last, line = pull, l
			pulls++
		}
	}
	if pulls == 0 {
		return
	}
	peak, weighed := last.Peak.Get()
	wanted, known := a.Wanted.Get()
	if weighed && known && peak > wanted {
		a.caution("The last pull weighed %s, more than the %s wanted on the tree. Don't draw so far again before wood is off.", a.force(float64(peak)), a.force(float64(wanted)))
	} else if story.InHand && !a.Weighed.Known() {
		// A finished bow is drawn its full draw whatever a line that was meant for the tree said.
		a.passedLine(story, line, before)
	}
	// A step that is round in the unit of the record is no bold one in the unit that is shown.
	if longest > 0 && float64(last.Draw-longest) > max(pullStep(a.Bow), pullStep(a.Bow.AsKept()))+alike {
		a.caution("The last pull went %s beyond any before. Go by %s at most.", a.length(float64(last.Draw-longest)), a.short(pullStep(a.Bow)))
	}
	if draw, ordered := a.Bow.DrawToBelly().Get(); ordered && last.Draw > draw+alike {
		a.caution("The last pull went beyond the ordered draw of %s.", a.length(float64(draw)))
	}
}

// alike is how far draws may differ that only the conversion of units tells apart (in).
const alike = 1e-6
