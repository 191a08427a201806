package advice

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
func (a *Advice) next(story session.Story) {
	stop, err := a.state.Stop(estimate.Limits{
		Weight: float64(a.Wanted.Or(0)), Draw: float64(a.Bow.DrawToBelly().Or(0)), Strain: a.strainLimit(),
	})
	if err != nil {
		a.caution("The stop line can't be calculated: %v. Don't pull farther than so far.", err)
		return
	}
	a.Next = measure.Some(NextPull{Stop: stop, StopAt: a.Wanted, Because: a.sayReason(stop)})
	a.overdone(story)
}

// overdone warns when the last pull weighed more than is wanted, or went farther beyond the ones before than a pull should.
func (a *Advice) overdone(story session.Story) {
	longest := measure.Length(0)
	var last *model.Pull
	for _, line := range story.Lines {
		if pull, ok := line.Entry.What.(model.Pull); ok && line.Counts() {
			if last != nil {
				longest = max(longest, last.Draw)
			}
			last = &pull
		}
	}
	if last == nil {
		return
	}
	peak, weighed := last.Peak.Get()
	wanted, known := a.Wanted.Get()
	if weighed && known && peak > wanted {
		a.caution("The last pull weighed %s, more than the %s wanted on the tree. Don't draw so far again before wood is off.", a.force(float64(peak)), a.force(float64(wanted)))
	}
	if longest > 0 && last.Draw > longest+pullStep+alike {
		a.caution("The last pull went %s beyond any before. Go by %s at most.", a.length(float64(last.Draw-longest)), a.length(pullStep))
	}
	if draw, ordered := a.Bow.DrawToBelly().Get(); ordered && last.Draw > draw+alike {
		a.caution("The last pull went beyond the ordered draw of %s.", a.length(float64(draw)))
	}
}

// pullStep is how far a pull may go beyond those before (common practice).
const pullStep = 2.0

// alike is how far draws may differ that only the conversion of units tells apart (in).
const alike = 1e-6
