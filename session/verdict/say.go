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

// Part is a heading with the sentences that stand under it.
type Part struct {
	Heading string
	Texts   []string
}

// BandsSay says what a band is.
const BandsSay = "Bands hold the truth nine times in ten, as far as the readings are honest."

// Parts are all that the readings say, each figure with its 90 % band, and what they do not show. A part
// that has nothing to say is left out.
func (a Advice) Parts() []Part {
	var parts []Part
	part := func(heading string, texts ...string) {
		if texts = nonEmpty(texts...); len(texts) > 0 {
			parts = append(parts, Part{heading, texts})
		}
	}
	part("To heed", a.Cautions...)
	part("Next pull", a.sayNext())
	part("Weight", a.SayForecast(), a.sayEnergy())
	part("Evenness", append([]string{a.SayAim()}, a.sayEvenness()...)...)
	if p, ok := a.Plan.Get(); ok {
		part("Where to take wood", p.Says...)
	} else {
		part("Where to take wood", a.NoPlan)
	}
	part("What came off", a.SaysCameOff()...)
	part("What further reading would settle", a.sayUnsure()...)
	part("Tiller: upper gap less lower gap, braced", a.sayTiller()...)
	part("Set", a.saySet())
	part("Force-draw curve", a.sayCurve())
	return parts
}

func nonEmpty(texts ...string) []string {
	var out []string
	for _, text := range texts {
		if text != "" {
			out = append(out, text)
		}
	}
	return out
}

func (a Advice) length(l float64) string { return a.Bow.Ruler().WithUnit(measure.Length(l)) }

// short is a length that is a whole number of the unit, or nearly, without decimals.
func (a Advice) short(l float64) string {
	return a.Bow.Ruler().Short(measure.Length(l)) + " " + string(a.Bow.Units.Length)
}

func (a Advice) force(f float64) string { return a.Bow.Weigher().WithUnit(measure.Force(f)) }

// band is a force with its band: 47.0 lb (46.1 to 47.9).
func (a Advice) band(f estimate.Figure) string {
	scale := a.Bow.Weigher()
	return fmt.Sprintf("%s (%s to %s)",
		a.force(f.Estimate), scale.Print(measure.Force(f.Low)), scale.Print(measure.Force(f.High)))
}

// places is a stretch of a limb: 10 to 16 in.
func (a Advice) places(from, to float64) string {
	rule := measure.Rule{Unit: a.Bow.Units.Length, Step: 0.5}
	if metric(a.Bow) {
		rule.Step = measure.Centimetre.Length(1)
	}
	return fmt.Sprintf("%s to %s", rule.Print(measure.Length(from)), rule.WithUnit(measure.Length(to)))
}

// fineRule prints to half of the rule's usual step.
func (a Advice) fineRule() measure.Rule {
	unit := a.Bow.Units.Length
	return measure.Rule{Unit: unit, Step: unit.DefaultStep() / 2}
}

// Bends says whether the advice tells how both limbs bend.
func (a Advice) Bends() bool {
	return len(a.Limbs[model.Upper].At) > 0 && len(a.Limbs[model.Lower].At) > 0
}

// SayForecast is the weight at the ordered draw with its band, beside the weight that is wanted on the tree.
func (a Advice) SayForecast() string {
	if peak, known := a.Weighed.Get(); known {
		said := fmt.Sprintf("weighed when finished: %s at %s", a.force(float64(peak)), a.length(a.Draw))
		if weight, known := a.Bow.Order.Weight.Get(); known {
			said += ", ordered " + session.SayOrdered(a.Bow, weight)
		}
		return said
	}
	weight, ok := a.Weight.Get()
	if !ok {
		return ""
	}
	said := fmt.Sprintf("forecast at %s: %s", a.length(weight.Draw), a.band(weight.Force))
	if wanted, known := a.Wanted.Get(); known && a.Bow.DrawToBelly().Known() {
		said += ", wanted " + session.SayOrdered(a.Bow, wanted)
	}
	return said
}

// SaysCameOff tells what the last scrapings took, against what was planned.
func (a Advice) SaysCameOff() []string {
	var texts []string
	for _, c := range a.CameOff {
		texts = append(texts, c.Says)
	}
	return texts
}

// joulesPerInchPound: an inch is 0.0254 m, a pound-force 4.4482216152605 N (NIST SP 811, from memory).
const joulesPerInchPound = 0.0254 * 4.4482216152605

// sayEnergy is the work under the force-draw curve from brace to the ordered draw, in foot-pounds or joules.
func (a Advice) sayEnergy() string {
	weight, ok := a.Weight.Get()
	if !ok {
		return ""
	}
	per, unit := 1.0/12, "ft lb"
	if metric(a.Bow) {
		per, unit = joulesPerInchPound, "J"
	}
	e := weight.Energy
	return fmt.Sprintf("energy stored there %.1f %s (%.1f to %.1f)", e.Estimate*per, unit, e.Low*per, e.High*per)
}

func (a Advice) sayEvenness() []string {
	var texts []string
	for _, finding := range a.Findings {
		texts = append(texts, finding.Says)
	}
	switch {
	case len(texts) > 0:
		return append(texts, "Per cents, here and at the stations, are of the aim at the limb's own scale.")
	case len(a.Unsure) > 0:
		return []string{"The readings cannot show an uneven place yet."}
	case a.Bends():
		return []string{"No flat spot and no hinge shows."}
	}
	return nil
}

func (a Advice) sayUnsure() []string {
	var texts []string
	for _, u := range a.Unsure {
		texts = append(texts, fmt.Sprintf("%s limb, %s to %s cannot be told yet. %s", u.Side,
			a.Bow.Ruler().Short(measure.Length(u.From)), a.length(u.To), u.WouldSettle))
	}
	return texts
}

func (a Advice) sayTiller() []string {
	rule, fine := a.Bow.Ruler(), a.fineRule()
	gap := func(g float64) string { return fine.PrintSigned(measure.Length(g)) }
	var texts []string
	for _, t := range a.Tiller {
		text := fmt.Sprintf("at %s: %s by the estimate (%s to %s)",
			a.short(t.At), gap(t.Expected.Estimate), gap(t.Expected.Low), gap(t.Expected.High))
		if measured, known := t.Measured.Get(); known {
			text += ", measured " + rule.PrintSigned(measured)
		}
		if aim, known := t.Aim.Get(); known {
			text += ", wanted " + rule.PrintSigned(aim)
		}
		texts = append(texts, text)
	}
	return texts
}

func (a Advice) saySet() string {
	follow, ok := a.Follow.Get()
	if !ok {
		return ""
	}
	rule := a.Bow.Ruler()
	text := fmt.Sprintf("string follow %s (%s to %s)", a.length(follow.Estimate),
		rule.Print(measure.Length(follow.Low)), rule.Print(measure.Length(follow.High)))
	if set, known := a.Set.Get(); known {
		text += fmt.Sprintf("; %s since it was first read relaxed", rule.PrintSigned(measure.Length(set.Estimate)))
	}
	return text
}

// sayCurve is the force at every 2 in, or 5 cm, of the draw.
func (a Advice) sayCurve() string {
	var parts []string
	every := either(a.Bow, 2, 5)
	for i, point := range a.Curve {
		if n := point.Draw / every; math.Abs(n-math.Round(n)) < 1e-6 || i == len(a.Curve)-1 {
			draw, force := measure.Length(point.Draw), measure.Force(point.Force.Estimate)
			parts = append(parts, a.Bow.Ruler().Short(draw)+" "+a.Bow.Weigher().Print(force))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return fmt.Sprintf("%s at draws (%s): %s",
		a.Bow.Units.Force.Symbol(), a.Bow.Units.Length, strings.Join(parts, ", "))
}
