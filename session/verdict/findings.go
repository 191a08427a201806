package verdict

import (
	"fmt"
	"math"
	"strings"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

func (a *Advice) bend(wanted estimate.Aim) {
	both, err := a.state.Bending(a.Draw, wanted, stationsOf(a.Bow))
	if err != nil {
		a.caution("How the limbs bend at %s can't be calculated: %v.", a.length(a.Draw), err)
		return
	}
	for side := range both {
		a.Limbs[side] = limb{Bending: both[side], Strain: a.state.Strains(model.Side(side), both[side])}
	}
	if found, err := a.state.Findings(a.Draw, wanted); err == nil {
		a.Findings = each(found, func(f estimate.Finding) finding { return finding{f, a.sayFinding(f)} })
	}
	a.Unsure, _ = a.state.Unsure(a.Draw, wanted)
}

// sayFinding: Upper limb, 10–16 in: about 18% too stiff (near certain).
func (a *Advice) sayFinding(f estimate.Finding) string {
	how := "too stiff"
	if f.Hinge {
		how = "too weak"
	}
	return fmt.Sprintf("%s limb, %s: %s %s (%s).", session.Capital(f.Side.String()), a.places(f.From, f.To),
		percent(math.Abs(f.Deviation.Estimate)), how, sure(f.Chance))
}

// sayHidden: a flat of 15% over 6 in could still hide. Where even a fold could, it gives no size.
func (a *Advice) sayHidden(u estimate.Unsure) string {
	if u.Hidden > mostHidden {
		return "a flat of any size could still hide"
	}
	width := either(a.Bow, estimate.HiddenWidth, 15)
	return fmt.Sprintf("a flat of %.0f%% over %s could still hide", 100*u.Hidden, a.short(width))
}

// mostHidden is the largest flat that is given a size.
const mostHidden = 0.5

// SayMeasure asks for the reading that would show most of it: under a block, at places that hold all of that.
func (a Advice) SayMeasure(u estimate.Unsure) string {
	places := a.blockPlaces(u)
	if places == "" {
		return fmt.Sprintf("Read the %s limb at one to three more stations, %s.", u.Side, a.places(u.From, u.To))
	}
	return fmt.Sprintf("Brace it and read the %s limb under a %s block at %s.",
		u.Side, a.short(either(a.Bow, 6, 15)), places)
}

// moreReading is how many places to measure are named at once.
const moreReading = 3

// blockPlaces are where a block shows most; "" where none holds all of it.
func (a *Advice) blockPlaces(u estimate.Unsure) string {
	var at []string
	step, block := measure.Length(either(a.Bow, 2, 5)), measure.Length(either(a.Bow, 6, 15))
	last := min(measure.Length(u.To), a.Bow.Limbs[u.Side].Length-block/2)
	first := math.Ceil(max(u.From, float64(block)/2) / float64(step))
	apart := max(1, math.Ceil((float64(last/step)-first)/moreReading))
	for n := first; step*measure.Length(n) <= last && len(at) < moreReading; n += apart {
		at = append(at, a.bare(float64(step)*n))
	}
	if len(at) == 0 {
		return ""
	}
	places := at[0]
	if n := len(at); n > 1 {
		places = strings.Join(at[:n-1], ", ") + " and " + at[n-1]
	}
	return fmt.Sprintf("%s %s", places, a.Bow.Units.Length)
}

// mostWild is the most readings out of place that cautions name one by one; Wild has them all. A bow that
// is not as described makes most readings wild: a few show it as well as hundreds.
const mostWild = 4

// Stations are where the next walk along the limbs tells most, three at most: those that the verdict asks to
// read again, the one it names first, or those on the stretch that it wants measured; none for any other.
func (a Advice) Stations(v Verdict) (all []estimate.Where) {
	for _, w := range a.Wild {
		isNamed := v.Do == Check && a.sayCheck(w) == v.Say
		if (w.Where.Kind == estimate.Line || w.Where.Kind == estimate.Gap) && (isNamed || len(all) > 0) {
			all = append(all, estimate.Where{Side: w.Where.Side, At: w.Where.At})
		}
	}
	if stretch, ok := v.Stretch.Get(); ok && v.Do == Measure {
		for _, at := range a.Bow.Limbs[stretch.Side].Stations {
			if from, to := measure.Length(stretch.From), measure.Length(stretch.To); at >= from && at <= to {
				all = append(all, estimate.Where{Side: stretch.Side, At: float64(at)})
			}
		}
	}
	return all[:min(len(all), moreReading)]
}

// wild fills in the readings out of place, and warns of the farthest off.
func (a *Advice) wild() {
	a.Wild = a.state.Wild()
	for _, w := range a.Wild[:min(len(a.Wild), mostWild)] {
		a.Cautions = append(a.Cautions, a.SayWild(w))
	}
	if more := len(a.Wild) - mostWild; more > 0 {
		a.caution("%d more readings of this pass look wrong.", more)
	}
}

// SayWild: Upper limb at 32 in, drawn 18 in: you read 4 5/16 in, I'd expect about 4 13/16 in.
func (a Advice) SayWild(w estimate.Wild) string {
	what, value, expected := a.wildWords(w)
	return fmt.Sprintf("%s: you read %s, I'd expect about %s.", session.Capital(what), value, expected)
}

func (a *Advice) sayCheck(w estimate.Wild) string {
	what, value, expected := a.wildWords(w)
	if w.Where.Kind == estimate.Peak {
		return fmt.Sprintf("Draw to %s again: you read %s, I'd expect about %s.",
			a.length(w.Where.Draw), value, expected)
	}
	return fmt.Sprintf("Check the %s: you read %s, I'd expect about %s.", what, value, expected)
}

func (a *Advice) wildWords(w estimate.Wild) (what, value, expected string) {
	pose := "braced"
	if w.Where.Draw > 0 {
		pose = fmt.Sprintf("drawn %s", a.length(w.Where.Draw))
	}
	place := fmt.Sprintf("%s limb at %s, %s", w.Where.Side, a.length(w.Where.At), pose)
	what, value, expected = place, a.length(w.Value), a.length(w.Expected)
	switch w.Where.Kind {
	case estimate.Peak:
		what, value, expected = "peak at "+a.length(w.Where.Draw), a.shown(w.Value), a.shown(w.Expected)
	case estimate.Brace:
		what = "brace height"
	case estimate.String:
		what = "string's length"
	case estimate.Relaxed:
		what = fmt.Sprintf("%s limb at %s, unstrung", w.Where.Side, a.length(w.Where.At))
	case estimate.Block:
		calliper := a.Bow.Calliper()
		what = fmt.Sprintf("block on the %s limb at %s", w.Where.Side, a.length(w.Where.At))
		value, expected = calliper.WithUnit(measure.Length(w.Value)), calliper.WithUnit(measure.Length(w.Expected))
	}
	return what, value, expected
}

// NoPattern says why you can't make another bow like this one yet, and what to do first; "" where you can: it
// was at its full draw and bends evenly.
func (a Advice) NoPattern() string {
	draw, ordered := a.Bow.Order.Draw.Get()
	longest := a.story.LongestDraw()
	switch {
	case !ordered:
		return "Its order has no draw length: describe it first."
	case longest < draw-lineSlack:
		return fmt.Sprintf("It was drawn to %s of %s: bring it to full draw first.", a.Bow.Ruler().Short(longest),
			a.short(float64(draw)))
	case len(a.Strips) == 0 || !a.Strips[len(a.Strips)-1].Tells():
		return a.SayUntold()
	case len(a.Findings) > 0:
		return a.Findings[0].Says + " Even that out first."
	}
	return ""
}
