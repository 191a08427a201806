package verdict

import (
	"math"
	"reflect"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// A Ledger is how far off a bow's peaks, and its weight at the order, were from what was foretold before they
// were read, in the standard deviations then told. Stretch is by how much each string that was measured is
// shorter than the bow as read says (in). By are the errors that it was worked out with.
type Ledger struct {
	By      Errors    `json:"by"`
	Off     []float64 `json:"off"`
	Stretch []float64 `json:"stretch,omitempty"`
}

// LedgerOf is the ledger of a story by what a shop's own bows teach; empty where the record makes no bow.
func LedgerOf(story session.Story, settings Settings) Ledger {
	a := Advice{Bow: story.Bow(), story: story, settings: settings}
	by := settings.Repeats.Errors()
	passes := passesBefore(story, "", settings.Strokes)
	if _, err := a.fold(folded{}, by.of(bowOf(story)), passes); err != nil {
		return Ledger{By: by}
	}
	a.state = a.folded.last()
	a.promise(folded{}, 0)
	return a.Ledger()
}

// Ledger is that of the advice's own bow.
func (a Advice) Ledger() Ledger {
	l := Ledger{By: a.settings.Repeats.Errors()}
	for _, s := range a.folded.steps {
		for _, p := range s.promises {
			l.Off = append(l.Off, p.off...)
		}
	}
	if a.Read {
		l.Stretch = a.stretches(otherStretch)
	}
	return l
}

// How much a string stretches under the braced bow, where none was measured, and how well one that was shows
// it, on this bow or on another of the shop (in, 1 sd; this project's own).
const (
	usualStretch = 1.0 / 8
	seenStretch  = 1.0 / 14
	otherStretch = 1.0 / 5
)

// stretches are by how much each string that was measured is shorter than the bow as read says, where that
// is known to a standard deviation (in).
func (a Advice) stretches(to float64) (all []float64) {
	for _, on := range a.story.Strings().Measured() {
		whole, err := a.state.StringFor(float64(on.Brace.Or(0)))
		if err == nil && (whole.High-whole.Low)/2/estimate.BandWidth <= to {
			all = append(all, whole.Estimate-float64(on.Length.Or(0)))
		}
	}
	return all
}

func foretell(st estimate.State, draw measure.Length) (f foretold, ok bool) {
	force, sd, err := st.Promise(float64(draw))
	if err != nil || !(sd > 0 && force+sd <= math.MaxFloat64) {
		return f, false
	}
	return foretold{force, sd}, true
}

// off is how far off it was, to two decimals.
func (f foretold) off(peak measure.Force) float64 {
	const most = 100
	return math.Round(100*min(max((float64(peak)-f.force)/f.sd, -most), most)) / 100
}

// promise works out what was foretold in the passes that weren't known.
func (a *Advice) promise(known folded, same int) {
	var old []promise
	if same+1 < len(known.steps) && reflect.DeepEqual(known.bow, a.folded.bow) {
		old = known.steps[same+1].promises
	}
	steps := a.folded.steps
	for n := same; n+1 < len(steps); n++ {
		steps[n+1].promises, old = a.promised(n, steps[n].state, old), nil
	}
}

// promised is what was foretold in one pass: the peak of each pull of the braced bow beyond the longest so
// far, and before the first of them the weight at the order. old are those of the pass known already.
func (a *Advice) promised(n int, before estimate.State, old []promise) (all []promise) {
	order := measure.Length(a.folded.bow.Draw)
	for _, pull := range a.farther(n, measure.Length(before.Longest())) {
		p := promise{of: pull, before: passesBefore(a.story, pull.entry, a.settings.Strokes)[n]}
		if k := len(all); k < len(old) && old[k].of == pull && reflect.DeepEqual(old[k].before, p.before) {
			all = append(all, old[k])
			continue
		}
		state, err := before.Fold(p.before)
		if err != nil || !state.Weighed() {
			continue
		}
		if f, ok := foretell(state, pull.draw); ok {
			p.off = append(p.off, f.off(pull.peak))
		}
		ordered := session.SameDraw(pull.draw, order)
		if len(all) == 0 && order > 0 && !ordered {
			p.order, _ = foretell(state, order)
		}
		if len(all) > 0 {
			p.order = all[0].order
		}
		if p.order.sd > 0 && ordered {
			p.off = append(p.off, p.order.off(pull.peak))
		}
		all = append(all, p)
	}
	return all
}

// farther are those of a pass on a string that braces the bow.
func (a *Advice) farther(n int, longest measure.Length) (all []farther) {
	long := onLong(a.folded.steps[n+1].pass)
	for _, line := range a.story.LinesOf(a.story.Passes[n]) {
		pull, isPull := line.What.(model.Pull)
		if !isPull || !line.Counts() {
			continue
		}
		if peak, weighed := pull.Peak.Get(); weighed && pull.Draw > longest && !long[0] {
			all = append(all, farther{line.Entry.ID, pull.Draw, peak})
		}
		longest, long = max(longest, pull.Draw), long[1:]
	}
	return all
}

// onLong says of each pull of a pass whether it was on the long string.
func onLong(p estimate.Pass) (long []bool) {
	for _, h := range p.Hangs {
		for range h.Pulls {
			long = append(long, h.Long)
		}
	}
	return long
}
