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

// from are the steps from which these passes go on.
func (f folded) from(bow estimate.Bow, passes []estimate.Pass) ([]step, error) {
	if len(f.steps) == 0 || !reflect.DeepEqual(f.bow, bow) {
		prior, err := bow.Prior()
		return []step{{state: prior}}, err
	}
	same := 0
	// The last pass is folded in any case: what was before it is asked for too.
	for same+1 < min(len(f.steps), len(passes)) && reflect.DeepEqual(f.steps[same+1].pass, passes[same]) {
		same++
	}
	return slices.Clone(f.steps[:same+1]), nil
}

// fold takes all passes into account, and returns how many of them were known. A pass that can't be folded is
// reported and left out.
func (a *Advice) fold(known folded, bow estimate.Bow, passes []estimate.Pass) (same int, err error) {
	steps, err := known.from(bow, passes)
	if err != nil {
		return 0, fmt.Errorf("the bow can't be estimated: %w", err)
	}
	same = len(steps) - 1
	for n := same; n < len(passes); n++ {
		state, err := steps[n].state.Fold(passes[n])
		s := step{pass: passes[n], state: state, read: steps[n].read || isRead(passes[n])}
		switch s.contradiction = errors.Is(err, estimate.ErrUnsolved); {
		case s.contradiction:
			s.caution = fmt.Sprintf("The readings of pass %d don't fit one bow; only its peaks count.", n)
		case err != nil:
			s.caution = fmt.Sprintf("The readings of pass %d were left out: %v.", n, err)
		}
		steps = append(steps, s)
	}
	a.folded = folded{bow: bow, steps: steps, plans: known.plans}
	for _, s := range steps {
		a.Cautions = append(a.Cautions, nonEmpty(s.caution)...)
		a.Read, a.contradiction = s.read, s.contradiction
	}
	return same, nil
}

// before and last are the states before and after the last pass.
func (f folded) before() estimate.State { return f.steps[len(f.steps)-2].state }
func (f folded) last() estimate.State   { return f.steps[len(f.steps)-1].state }

// StripStep is the way between two places of a strip (in); a cell takes two.
func StripStep(bow model.Bow) float64 { return either(bow, 1, 2.5) }

// strip makes the strips of all passes; those of known ones are taken over as long as their basis stays.
func (a *Advice) strip(known basis, same int) {
	by := basis{draw: a.Draw, tiller: a.aimPlace(), wide: a.Kept.Scale, aim: a.Aim}
	for side, limb := range a.Bow.Limbs {
		by.limbs[side] = limb.Length
	}
	again := !reflect.DeepEqual(known, by)
	a.folded.by = by
	outer := [2]float64{}
	for n, pass := range a.story.Passes {
		s := &a.folded.steps[n+1]
		outer = outermost(s.pass, outer)
		if n >= same || again {
			s.strip = a.stripOf(s.state.Widened(by.wide), outer)
		}
		a.Strips = append(a.Strips, a.told(s.strip, pass))
	}
}

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
	if err != nil {
		e = estimate.Evenness{}
	}
	for side := range s.Limbs {
		s.Limbs[side] = courseOf(at[side], e.Limbs[side], e.Uneven[side], outer[side])
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
		said := all.Limb.String() + " " + a.SayPlaces(float64(all.From), float64(all.To))
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
