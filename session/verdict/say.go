package verdict

import (
	"fmt"
	"math"
	"strings"

	"bendbook/model/measure"
	"bendbook/session"
)

// What the readings say, in sentences under headings.

// Part is a heading with the sentences that stand under it.
type Part struct {
	Heading string
	Texts   []string
}

// BandsSay says what a band is.
const BandsSay = "Bands hold the truth nine times in ten, as far as the readings are honest."

// Parts are all that the readings say, each figure with its 90 % band, and what they do not show. A part that has nothing to say is left out.
func (a Advice) Parts() []Part {
	var parts []Part
	part := func(heading string, texts ...string) {
		if len(texts) > 0 {
			parts = append(parts, Part{heading, texts})
		}
	}
	part("To heed", a.Cautions...)
	part("Next pull", nonEmpty(a.sayNext())...)
	part("Weight", nonEmpty(a.SayForecast(), a.sayEnergy())...)
	part("Evenness", append(nonEmpty(a.SayAim()), a.sayEvenness()...)...)
	part("Where to take wood", a.saysPlan()...)
	part("What came off", a.SaysCameOff()...)
	part("What further reading would settle", a.sayUnsure()...)
	part("Tiller: upper gap less lower gap, braced", a.sayTiller()...)
	part("Set", nonEmpty(a.saySet())...)
	part("Force-draw curve", nonEmpty(a.sayCurve())...)
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

// Bends says whether the advice tells how both limbs bend.
func (a Advice) Bends() bool { return len(a.Limbs[0].At) > 0 && len(a.Limbs[1].At) > 0 }

// SayNext is the stop line of the next pull, with the peak to expect there and the reason that limits it.
func (a Advice) SayNext() string {
	if next, ok := a.Next.Get(); ok && next.Draw > 0 {
		return fmt.Sprintf("next: %s", a.sayNext())
	}
	return a.sayNext()
}

func (a Advice) sayNext() string {
	next, ok := a.Next.Get()
	if !ok {
		return ""
	}
	if next.Draw <= 0 {
		return fmt.Sprintf("next pull: none; %s", next.Because)
	}
	scale := a.Bow.Weigher()
	draw := a.Bow.Ruler().WithUnit(measure.Length(next.Draw))
	if next.Force.Estimate > 0 {
		return fmt.Sprintf("to %s, %s (%s to %s); %s", draw, scale.WithUnit(measure.Force(next.Force.Estimate)),
			scale.Print(measure.Force(next.Force.Low)), scale.Print(measure.Force(next.Force.High)), next.Because)
	}
	return fmt.Sprintf("to %s; %s", draw, next.Because)
}

// SayForecast is the weight at the ordered draw with its band, beside the weight that is wanted on the tree.
func (a Advice) SayForecast() string {
	if peak, known := a.Weighed.Get(); known {
		weighed, draw := a.Bow.Weigher().WithUnit(peak), a.Bow.Ruler().WithUnit(measure.Length(a.Draw))
		if weight, known := a.Bow.Order.Weight.Get(); known {
			return fmt.Sprintf("weighed when finished: %s at %s, ordered %s", weighed, draw, session.SayOrdered(a.Bow, weight))
		}
		return fmt.Sprintf("weighed when finished: %s at %s", weighed, draw)
	}
	weight, ok := a.Weight.Get()
	if !ok {
		return ""
	}
	draw, force := a.Bow.Ruler().WithUnit(measure.Length(weight.Draw)), a.band(weight.Force)
	if wanted, known := a.Wanted.Get(); known && a.Bow.DrawToBelly().Known() {
		return fmt.Sprintf("forecast at %s: %s, wanted %s", draw, force, session.SayOrdered(a.Bow, wanted))
	}
	return fmt.Sprintf("forecast at %s: %s", draw, force)
}

// saysPlan tells the plan in sentences; every stretch of it stands on the plan's own screen.
func (a Advice) saysPlan() []string {
	if p, ok := a.Plan.Get(); ok {
		return p.Says
	}
	return nonEmpty(a.NoPlan)
}

// SaysCameOff tells what the last scrapings took, against what was planned.
func (a Advice) SaysCameOff() []string {
	var texts []string
	for _, c := range a.CameOff {
		texts = append(texts, c.Says)
	}
	return texts
}

// sayEnergy is the work under the force-draw curve from brace to the ordered draw, in foot-pounds or joules.
func (a Advice) sayEnergy() string {
	weight, ok := a.Weight.Get()
	if !ok {
		return ""
	}
	per, unit := 1.0/12, "ft lb"
	if a.Bow.Units.Length != measure.Inch {
		per, unit = joulesPerInchPound, "J"
	}
	return fmt.Sprintf("energy stored there %.1f %s (%.1f to %.1f)", weight.Energy.Estimate*per, unit, weight.Energy.Low*per, weight.Energy.High*per)
}

// joulesPerInchPound: an inch is 0.0254 m, a pound-force 4.4482216152605 N (NIST SP 811, from memory).
const joulesPerInchPound = 0.0254 * 4.4482216152605

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
	for _, unsure := range a.Unsure {
		rule := a.Bow.Ruler()
		texts = append(texts, fmt.Sprintf("%s limb, %s to %s cannot be told yet. %s", unsure.Side,
			rule.Short(measure.Length(unsure.From)), rule.WithUnit(measure.Length(unsure.To)), unsure.WouldSettle))
	}
	return texts
}

func (a Advice) sayTiller() []string {
	fine := measure.Rule{Unit: a.Bow.Units.Length, Step: a.Bow.Units.Length.DefaultStep() / 2}
	var texts []string
	for _, t := range a.Tiller {
		parts := []string{fmt.Sprintf("at %s %s: %s by the estimate (%s to %s)", a.Bow.Ruler().Short(measure.Length(t.At)), a.Bow.Units.Length,
			fine.PrintSigned(measure.Length(t.Expected.Estimate)), fine.PrintSigned(measure.Length(t.Expected.Low)), fine.PrintSigned(measure.Length(t.Expected.High)))}
		if measured, known := t.Measured.Get(); known {
			parts = append(parts, fmt.Sprintf("measured %s", a.Bow.Ruler().PrintSigned(measured)))
		}
		if aim, known := t.Aim.Get(); known {
			parts = append(parts, fmt.Sprintf("wanted %s", a.Bow.Ruler().PrintSigned(aim)))
		}
		texts = append(texts, strings.Join(parts, ", "))
	}
	return texts
}

func (a Advice) saySet() string {
	follow, ok := a.Follow.Get()
	if !ok {
		return ""
	}
	rule := a.Bow.Ruler()
	now, low, high := rule.WithUnit(measure.Length(follow.Estimate)), rule.Print(measure.Length(follow.Low)), rule.Print(measure.Length(follow.High))
	if set, known := a.Set.Get(); known {
		return fmt.Sprintf("string follow %s (%s to %s); %s since it was first read relaxed", now, low, high, rule.PrintSigned(measure.Length(set.Estimate)))
	}
	return fmt.Sprintf("string follow %s (%s to %s)", now, low, high)
}

// sayCurve is the force at every 2 in, or 5 cm, of the draw.
func (a Advice) sayCurve() string {
	var parts []string
	every := 2.0
	if a.Bow.Units.Length != measure.Inch {
		every = float64(measure.Centimetre.Length(5))
	}
	for i, point := range a.Curve {
		if n := point.Draw / every; math.Abs(n-math.Round(n)) < 1e-6 || i == len(a.Curve)-1 {
			parts = append(parts, fmt.Sprintf("%s %s", a.Bow.Ruler().Short(measure.Length(point.Draw)), a.Bow.Weigher().Print(measure.Force(point.Force.Estimate))))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return fmt.Sprintf("%s at draws (%s): %s", a.Bow.Units.Force.Symbol(), a.Bow.Units.Length, strings.Join(parts, ", "))
}
