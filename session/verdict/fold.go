package verdict

import (
	"errors"
	"fmt"
	"reflect"
	"slices"

	"bendbook/model/estimate"
)

// folded is what passes came to, so that a story with one entry more need not be folded from its beginning.
type folded struct {
	bow    estimate.Bow
	passes []estimate.Pass
	stands []stand // after none of the passes, or after the last ones, the most last
	strips strips
}

// stand is how matters stood after so many passes.
type stand struct {
	passes        int
	state         estimate.State
	read          bool
	contradiction bool
	cautions      []string
}

// standsKept is how many stands are kept: a correction seldom reaches further back than the pass before the
// last.
const standsKept = 3

// from is the furthest stand from which these passes go on.
func (f folded) from(bow estimate.Bow, passes []estimate.Pass) (stand, error) {
	if reflect.DeepEqual(f.bow, bow) {
		for _, s := range slices.Backward(f.stands) {
			// The last pass is folded in any case: what was before it is asked for too.
			n := s.passes
			if n < len(passes) && n <= len(f.passes) && reflect.DeepEqual(f.passes[:n], passes[:n]) {
				return s, nil
			}
		}
	}
	prior, err := bow.Prior()
	return stand{state: prior}, err
}

// fold takes all passes into account. A pass that could not be folded is told of and left out.
func (a *Advice) fold(
	known folded, bow estimate.Bow, passes []estimate.Pass,
) (now, before estimate.State, err error) {
	at, err := known.from(bow, passes)
	if err != nil {
		return at.state, at.state, fmt.Errorf("the bow can't be estimated: %w", err)
	}
	a.folded = folded{bow: bow, passes: passes, stands: []stand{at}}
	earlier := len(a.Cautions)
	a.Cautions = append(a.Cautions, at.cautions...)
	a.Read, a.contradiction = at.read, at.contradiction
	now, before = at.state, at.state
	for i := at.passes; i < len(passes); i++ {
		before = now
		now, err = now.Fold(passes[i])
		a.contradiction = errors.Is(err, estimate.ErrUnsolved)
		switch {
		case errors.Is(err, estimate.ErrUnsolved):
			a.caution("The readings of pass %d don't fit one bow; at most its peaks count.", i)
		case err != nil:
			a.caution("The readings of pass %d were left out: %v.", i, err)
		}
		a.Read = a.Read || isRead(passes[i])
		told := slices.Clip(a.Cautions)[earlier:]
		a.folded.keep(stand{i + 1, now, a.Read, a.contradiction, told})
		a.states = append(a.states, now)
	}
	return now, before, nil
}

func (f *folded) keep(s stand) {
	if len(f.stands) == standsKept {
		f.stands = append(f.stands[:0:0], f.stands[1:]...)
	}
	f.stands = append(f.stands, s)
}
