package verdict

import (
	"fmt"
	"slices"
	"strings"

	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// Figures in words, in the bow's own units.

func (a Advice) length(l float64) string { return a.Bow.Ruler().WithUnit(measure.Length(l)) }

// short is a length that is a whole number of the unit, or nearly, without decimals; bare has no unit.
func (a Advice) short(l float64) string { return a.bare(l) + " " + string(a.Bow.Units.Length) }
func (a Advice) bare(l float64) string  { return a.Bow.Ruler().Short(measure.Length(l)) }

func (a Advice) force(f float64) string { return a.Bow.Weigher().WithUnit(measure.Force(f)) }

// figure is a force with its range: 41.4 lb (41.1–41.7).
func (a Advice) figure(f estimate.Figure) string {
	scale := a.Bow.Weigher()
	return fmt.Sprintf("%s (%s–%s)",
		a.force(f.Estimate), scale.Print(measure.Force(f.Low)), scale.Print(measure.Force(f.High)))
}

// onScale is a force as the scale shows it.
func (a Advice) onScale(f estimate.Figure) estimate.Figure {
	show := func(v float64) float64 { return float64(a.Bow.Rig.OnScale(measure.Force(v))) }
	return estimate.Figure{Estimate: show(f.Estimate), Low: show(f.Low), High: show(f.High)}
}

// shown is a force as the scale shows it, in words: 45.5 lb on the scale.
func (a Advice) shown(f float64) string {
	return a.force(float64(a.Bow.Rig.OnScale(measure.Force(f)))) + a.Bow.Rig.OnItsScale()
}

// Expected is the peak to expect, as the scale shows it: 45.5 lb (45.1–45.9) on the scale.
func (a Advice) Expected(next nextPull) string {
	return a.figure(a.onScale(next.Force)) + a.Bow.Rig.OnItsScale()
}

// letDown says at what the scale shows a pull ends whatever the draw, where that isn't the weight itself.
func (a Advice) letDown(next nextPull) string {
	most, known := next.StopAt.Get()
	if !known || a.Bow.Rig.Direct() {
		return ""
	}
	return fmt.Sprintf("; let down at %s on the scale, %s at the hook",
		a.force(float64(a.Bow.Rig.StopAt(most))), a.round(float64(most)))
}

// places is a stretch of a limb: 10–16 in.
func (a Advice) places(from, to float64) string {
	return fmt.Sprintf("%s %s", a.SayPlaces(from, to), a.Bow.Units.Length)
}

// SayPlaces is that without the unit.
func (a Advice) SayPlaces(from, to float64) string { return a.placesBy(0.5, from, to) }

// placesBy is that to so many inches, or to a centimetre.
func (a Advice) placesBy(step, from, to float64) string {
	rule := measure.Rule{Unit: a.Bow.Units.Length, Step: measure.Length(either(a.Bow, step, 1))}
	short := func(l float64) string { return rule.Short(measure.Length(l)) }
	return fmt.Sprintf("%s–%s", short(from), short(to))
}

// fromTo is the same in a sentence: from 10 to 16 in.
func (a Advice) fromTo(from, to float64) string {
	return "from " + strings.Replace(a.places(from, to), "–", " to ", 1)
}

// round is a force without decimals: 37 lb.
func (a Advice) round(f float64) string { return session.SayOrdered(a.Bow, measure.Force(f)) }

// signed is a length with its sign, to half of the rule's usual step.
func (a Advice) signed(l float64) string {
	unit := a.Bow.Units.Length
	return measure.Rule{Unit: unit, Step: unit.DefaultStep() / 2}.PrintSigned(measure.Length(l))
}

func sure(chance float64) string {
	switch {
	case chance >= 0.97:
		return "near certain"
	case chance >= 0.9:
		return "likely"
	}
	return "maybe"
}

func percent(share float64) string { return fmt.Sprintf("about %.0f%%", 100*share) }

func beginsWith(text string, starts ...string) bool {
	return slices.ContainsFunc(starts, func(start string) bool { return strings.HasPrefix(text, start) })
}

func each[T, R any](all []T, say func(T) R) []R {
	out := make([]R, len(all))
	for i, one := range all {
		out[i] = say(one)
	}
	return out
}

func nonEmpty(texts ...string) []string {
	return slices.DeleteFunc(slices.Clone(texts), func(text string) bool { return text == "" })
}
