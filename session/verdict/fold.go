package verdict

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

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

// fold takes all passes into account. A pass that can't be folded is reported and left out.
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
	a.states = []estimate.State{now}
	for i := at.passes; i < len(passes); i++ {
		before = now
		now, err = now.Fold(passes[i])
		a.contradiction = errors.Is(err, estimate.ErrUnsolved)
		switch {
		case errors.Is(err, estimate.ErrUnsolved):
			a.caution("The readings of pass %d don't fit one bow; only its peaks count.", i)
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

// StripStep is the way between two places of a strip (in); a cell takes two.
func StripStep(bow model.Bow) float64 { return either(bow, 1, 2.5) }

// strip makes the strips of all passes; those of known ones that stayed as they were are taken over. states
// are the last ones, before the first-th pass and after each from there on.
func (a *Advice) strip(known folded, first int, states []estimate.State) {
	now := strips{draw: a.Draw, tiller: a.aimPlace(), wide: a.Kept.Scale, aim: a.Aim}
	for side, limb := range a.Bow.Limbs {
		now.limbs[side] = limb.Length
	}
	old := known.strips
	same := old.draw == now.draw && old.tiller == now.tiller && old.wide == now.wide && old.limbs == now.limbs &&
		reflect.DeepEqual(old.aim, now.aim)
	if first > 0 && !same {
		// The states of the earlier passes are not kept.
		var again Advice
		if _, _, err := again.fold(folded{}, a.folded.bow, a.folded.passes); err != nil {
			return
		}
		first, states = 0, again.states
	}
	now.all = append(now.all, old.all[:min(first, len(old.all))]...)
	outer := [2]float64{}
	for n, pass := range a.folded.passes {
		outer = outermost(pass, outer)
		if n >= first {
			now.all = append(now.all, a.stripOf(states[n-first+1].Widened(now.wide), outer))
		}
	}
	a.folded.strips = now
	for n, pass := range a.story.Passes {
		a.Strips = append(a.Strips, a.told(now.all[n], pass))
	}
}

// outermost is the outermost place of each limb that was read on a string so far.
func outermost(pass estimate.Pass, outer [2]float64) [2]float64 {
	note := func(readings []estimate.Reading, beyond float64) {
		for _, r := range readings {
			outer[r.Side] = max(outer[r.Side], r.At+beyond)
		}
	}
	for _, hang := range pass.Hangs {
		note(hang.Line, 0)
		note(hang.Gap, 0)
		for _, row := range hang.Blocks {
			note(row.Gaps, row.Block/2)
		}
		for _, pull := range hang.Pulls {
			note(pull.Line, 0)
			note(pull.Gap, 0)
		}
	}
	return outer
}

// stripOf is the strip of a state, where limbs were read out to a place each.
func (a *Advice) stripOf(state estimate.State, outer [2]float64) (s Strip) {
	step := StripStep(a.Bow)
	var at [2][]float64
	for side, limb := range a.Bow.Limbs {
		for n := 0.0; n*step <= float64(limb.Length); n++ {
			at[side] = append(at[side], n*step)
		}
	}
	tiller := min(a.aimPlace(), float64(shorter(a.Bow)))
	e, err := state.Evenness(a.Draw, a.Aim, at, tiller)
	for side := range s.Limbs {
		c := &s.Limbs[side]
		c.At, c.Deviation, c.Known = at[side], make([]estimate.Figure, len(at[side])), make([]bool, len(at[side]))
		if err == nil {
			c.fill(e.Limbs[side], e.Uneven[side], outer[side])
		}
		for i := 1; i < len(c.At); i += 2 {
			cell := Unknown
			if c.Known[i] {
				cell = cellOf(c.Deviation[i].Estimate)
			}
			c.Cells = append(c.Cells, cell)
		}
	}
	if err == nil && state.Weighed() {
		s.Weight = measure.Some(e.Weight.Force)
	}
	if err == nil && max(outer[0], outer[1]) > 0 {
		s.Tiller = measure.Some(e.Tiller)
	}
	return s
}

// told is a strip with what the pass's entries say themselves.
func (a *Advice) told(s Strip, pass session.Pass) Strip {
	s.Pass = pass.Number
	for _, scrape := range pass.Scrapes {
		s.Strokes[scrape.Limb] += scrape.Strokes.Or(0)
	}
	s.Off = a.sayOff(pass.Scrapes)
	for line := range session.Counting(a.story.LinesOf(pass)) {
		_, isVoid := line.What.(model.Void) // which may be of another pass
		if at := line.Entry.At; !isVoid && !at.IsZero() {
			s.At = at
		}
		if off := model.WorkOf(line.What, a.Bow).Off; off != "" {
			s.Off = strings.TrimPrefix(s.Off+", "+off, ", ")
		}
	}
	return s
}

// sayOff tells scrapings, those that adjoin on one limb as one: upper 18–28 ×21, lower 4–10.
func (a *Advice) sayOff(scrapes []model.Scrape) string {
	var parts []string
	for i := 0; i < len(scrapes); {
		all := scrapes[i]
		strokes := all.Strokes.Or(0)
		for i++; i < len(scrapes) && scrapes[i].Limb == all.Limb && adjoin(scrapes[i], all); i++ {
			all.From, all.To = min(all.From, scrapes[i].From), max(all.To, scrapes[i].To)
			strokes += scrapes[i].Strokes.Or(0)
		}
		at := a.places(float64(all.From), float64(all.To))
		said := all.Limb.String() + " " + strings.TrimSuffix(at, " "+string(a.Bow.Units.Length))
		if strokes > 0 {
			said += fmt.Sprintf(" ×%d", strokes)
		}
		parts = append(parts, said)
	}
	return strings.Join(parts, ", ")
}

func adjoin(a, b model.Scrape) bool {
	return a.From <= b.To+slack && b.From <= a.To+slack
}

// slack is how far apart two scrapings may be and still adjoin (in).
const slack = 1.0 / 16
