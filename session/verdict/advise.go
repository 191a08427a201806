package verdict

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// Of is the advice of a story; see [Advice.Again] for what it takes.
func Of(story session.Story, settings Settings, shape *aim.Aim) (Advice, error) {
	return Advice{}.Again(story, settings, shape)
}

// Again is the advice of a story that goes on from the one that a is of: passes that stayed as they were
// are not folded a second time. shape is that of the bow that this one should bend like ([ShapeFor]); nil is
// none. The error says what in the record makes no bow.
func (a Advice) Again(story session.Story, settings Settings, shape *aim.Aim) (Advice, error) {
	bow, known := story.Bow(), a.folded
	a = Advice{Bow: bow, Pass: story.Pass().Number, settings: settings, story: story}
	scrape, _ := session.Last(story, func(s model.Scrape) bool { return s.Tool != "" })
	a.tool = cmp.Or(scrape.Tool, model.UsualTool)
	a.Wanted = settings.Takes.Wanted(bow.Order)
	a.Aim = a.aimOf(story, shape)
	by := settings.Repeats.Errors()
	same, err := a.fold(known, by.of(bowOf(story)), passesBefore(story, "", settings.Strokes))
	if err != nil {
		return Advice{}, err
	}
	a.promise(known, same)
	a.state = a.folded.last()
	a.Kept = KeptOf(slices.Concat(settings.Off, a.Ledger().Off))
	before := a.folded.before().Widened(a.Kept.Scale)
	a.state = a.state.Widened(a.Kept.Scale)
	ordered := false
	if a.Draw, ordered = drawOf(bow, a.state); !ordered {
		why := "No draw was ordered"
		if bow.Order.Draw.Known() {
			why = "The order is to the back, but the handle has no depth"
		}
		a.caution("%s: bend and weight are for %s.", why, a.length(a.Draw))
	}
	a.strip(known.by, same)
	if !a.Read {
		a.NoPlan = "No plan yet: nothing was read."
		return a, nil
	}
	if said := a.sayFit(); said != "" {
		a.caution("%s", said)
	}
	a.forecast()
	a.Weighed = weighedWhenFinished(story, measure.Length(a.Draw))
	a.next(story, before)
	a.tiller(story)
	a.bend(a.Aim)
	a.follow(before)
	a.wild()
	a.plan(story, before)
	a.cameOff(before)
	return a, nil
}

func (a *Advice) forecast() {
	if !a.state.Weighed() {
		return
	}
	var draws []float64
	step := either(a.Bow, 1, 2.5)
	for n := 1.0; n*step < a.Draw; n++ {
		draws = append(draws, n*step)
	}
	curve, err := a.state.Forecast(append(draws, a.Draw)...)
	if err != nil {
		a.caution("By these readings the bow can't be braced: %v.", err)
		return
	}
	a.Curve = curve
	if n := len(curve); n > 0 && curve[n-1].Draw == a.Draw {
		a.Weight = measure.Some(curve[n-1])
	} else {
		a.caution("By these readings the bow can't be drawn to %s.", a.length(a.Draw))
	}
}

// weighedWhenFinished is the last peak at a draw since finishing began, unread where wood was scraped after
// it. Filing and sanding take weight without a word in the record, so no estimate from before them is as
// good.
func weighedWhenFinished(story session.Story, draw measure.Length) (peak measure.Optional[measure.Force]) {
	finishing := false
	for line := range session.Counting(story.Lines) {
		if model.WorkOf(line.What, story.Bow()).Tiller {
			finishing, peak = false, measure.Optional[measure.Force]{}
		}
		switch what := line.What.(type) {
		case model.Finish:
			finishing = true
		case model.Pull:
			if finishing && what.Peak.Known() && session.SameDraw(what.Draw, draw) {
				peak = what.Peak
			}
		}
	}
	return peak
}

// mostSet is the growth of string follow in one pass that is not warned of yet (common practice; in).
const mostSet = 0.25

// follow fills in string follow and set, and warns of what the last pass added.
func (a *Advice) follow(before estimate.State) {
	now, set, known, err := a.state.Follow()
	if err != nil {
		return
	}
	a.Follow = measure.Some(now)
	if !known {
		return
	}
	a.Set = measure.Some(set)
	if then, _, known, err := before.Follow(); err == nil && known {
		if a.added = now.Estimate - then.Estimate; a.added > mostSet {
			a.caution("This pass added %s of set.", a.length(a.added))
		}
	}
}

// Expect foretells a reading before it is typed, a peak as the scale shows it, with the band of the reading
// itself, on the string as it was last read or, where brace is not 0, braced to that height (in). ok is false
// where nothing can be foretold yet.
func (a Advice) Expect(w estimate.Where, on session.String, brace float64) (f estimate.Figure, ok bool) {
	if !a.Read {
		return f, false
	}
	state, hang := a.state, a.hangOn(on)
	if now, _ := a.story.Strings().Now(); !hang.Long && (brace > 0 || on.Length != now.Length) {
		var err error
		if brace > 0 {
			hang = estimate.Hang{Brace: brace}
		}
		if state, err = state.Fold(estimate.Pass{Hangs: []estimate.Hang{hang}}); err != nil {
			return f, false
		}
	}
	hang.Pulls = append(hang.Pulls, estimate.Pull{Draw: w.Draw, Peak: 1})
	f, err := state.Expect(w, hang)
	if w.Kind == estimate.Peak {
		f = a.onScale(f)
	}
	return f, err == nil
}

// StringFor is the length between the nocks of the string that braces the bow to a height, or the usual one
// where that is not known; unread where nothing was read of the bow.
func (a Advice) StringFor(height measure.Optional[measure.Length]) (length measure.Optional[measure.Length]) {
	if !a.Read {
		return length
	}
	f, err := a.stringFor(a.state, float64(height.Or(0)))
	if err != nil {
		return length
	}
	return measure.Some(measure.Length(f.Estimate))
}

// stringFor is how long a string is made that braces a state of the bow to a height (in), 0 for the usual
// one: shorter by what those stretch that were measured.
func (a Advice) stringFor(st estimate.State, height float64) (estimate.Figure, error) {
	f, err := st.StringFor(height)
	surely, sum := 1/(usualStretch*usualStretch), 0.0
	learn := func(stretches []float64, sd float64) {
		surely += float64(len(stretches)) / (sd * sd)
		sum += floats.Sum(stretches) / (sd * sd)
	}
	learn(a.stretches(math.Inf(1)), seenStretch)
	learn(a.settings.Stretch, otherStretch)
	stretch, sd := sum/surely, math.Hypot((f.High-f.Low)/2/estimate.BandWidth, math.Sqrt(1/surely))
	f.Estimate -= stretch
	f.Low, f.High = f.Estimate-estimate.BandWidth*sd, f.Estimate+estimate.BandWidth*sd
	return f, err
}

// hangOn is the bow on a string, with the pulls of this pass on that as it hangs now.
func (a Advice) hangOn(on session.String) estimate.Hang {
	hang := hangOn(a.story, on, a.story.LongestDraw())
	last := a.folded.steps[len(a.folded.steps)-1].pass
	if n := len(last.Hangs); n > 0 && last.Hangs[n-1].Long && hang.Long {
		hang.Pulls = slices.Clone(last.Hangs[n-1].Pulls)
	}
	return hang
}

// Practice is what a bow's readings are judged by in a shop.
type Practice struct {
	Settings Settings
	Shape    *aim.Aim // of the bow that this one should bend like; nil for its own aim
	Before   Advice   // what was said of the bow before, from which Of goes on; zero begins anew
}

// Of is [Of] by this practice.
func (p Practice) Of(story session.Story) (Advice, error) {
	return p.Before.Again(story, p.Settings, p.Shape)
}
