package verdict

import (
	"fmt"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/session"
)

// passedLine warns of a last pull of this pass that went beyond the stop line that weight or strain set for it, also where its
// peak turned out to be within what is wanted: what the line stands for is not in the peak alone. last is the pull's entry, before the
// bow before this pass.
func (a *Advice) passedLine(story session.Story, last session.Line, before estimate.State) {
	pull := last.Entry.What.(model.Pull)
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
	if err != nil || float64(pull.Draw) <= line.Draw+lineSlack {
		return
	}
	why := ""
	switch line.Because {
	case estimate.ByWeight:
		why = "the weight wanted on the tree"
	case estimate.ByStrain:
		why = "the surface strain that this wood is said to stand"
	default:
		return
	}
	where := fmt.Sprintf("the stop line of %s", a.length(line.Draw))
	if line.Draw <= 0 {
		where = "the stop line, which allowed no pull,"
	}
	a.caution("The last pull, to %s, went beyond %s that %s had set. Keep to the line.", a.length(float64(pull.Draw)), where, why)
}

// lineSlack is how far a pull may pass its line by the rule and the hand on the rope (in).
const lineSlack = 1.0 / 8
