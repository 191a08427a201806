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

// BandsSay says what a range is.
const BandsSay = "A range is right nine times in ten, if the readings are honest."

// Parts are all that the readings say, the verdict first, each figure with its range. A part that has nothing
// to say is left out.
func (a Advice) Parts(v Verdict) []Part {
	a = a.Under(v)
	var parts []Part
	part := func(heading string, texts ...string) {
		if texts = nonEmpty(texts...); len(texts) > 0 {
			parts = append(parts, Part{heading, texts})
		}
	}
	part("Now", v.Say, v.Why)
	part("Take care", a.Cautions...)
	part("Weight", a.SayForecast(v), a.SayStop(v), a.SayEnergy())
	part("Stiff and weak spots", append(a.sayEvenness(), a.SayAim())...)
	if p, ok := a.Plan.Get(); ok {
		part("Plan", p.Says...)
	} else {
		part("Plan", a.NoPlan)
	}
	part("What would settle it", a.sayUnsure()...)
	part("Planned, logged and what came off", a.SaysCameOff()...)
	part("Tiller: upper − lower, braced", a.sayTiller()...)
	part("Set", a.saySet())
	part("Shot in", a.sayShot())
	part("Force-draw curve", a.sayCurve())
	part("Ranges, rule and scale", Taught(a.Kept, a.settings.Repeats, a.Bow.Units, a.Bow.Rule, a.Bow.Scale)...)
	return parts
}

// SayForecast is the weight at the ordered draw with its range, and of what the weight wanted on the tree is
// made up, unless the verdict beside it says that. It is "" while nothing says what the limbs carry.
func (a Advice) SayForecast(v Verdict) string {
	if peak, known := a.Weighed.Get(); known {
		said := fmt.Sprintf("Weighed when finished: %s at %s", a.force(float64(peak)), a.length(a.Draw))
		if weight, known := a.Bow.Order.Weight.Get(); known {
			said += ", ordered " + session.SayOrdered(a.Bow, weight)
		}
		return said + "."
	}
	weight, ok := a.Weight.Get()
	if !ok || v.Rule == "no string" {
		return ""
	}
	said := fmt.Sprintf("At %s it should pull %s", a.length(weight.Draw), a.figure(weight.Force))
	if strings.Contains(v.Why, said) {
		return ""
	}
	wish := a.sayWish()
	if a.Wanted.Known() && a.Bow.DrawToBelly().Known() && !strings.Contains(v.Why, session.Capital(wish)) {
		said += "; " + wish
	}
	return said + "."
}

// SaysCameOff says what the last scrapings took, against what was planned.
func (a Advice) SaysCameOff() []string {
	return each(a.CameOff, func(c cameOff) string { return c.Says })
}

// joulesPerInchPound: an inch is 0.0254 m, a pound-force 4.4482216152605 N (NIST SP 811, from memory).
const joulesPerInchPound = 0.0254 * 4.4482216152605

func energyUnit(bow model.Bow) (per float64, unit string) {
	if metric(bow) {
		return joulesPerInchPound, "J"
	}
	return 1.0 / 12, "ft lb"
}

// SayEnergy is the work under the force-draw curve from brace to the ordered draw, in foot-pounds or joules.
func (a Advice) SayEnergy() string {
	weight, ok := a.Weight.Get()
	if !ok {
		return ""
	}
	per, unit := energyUnit(a.Bow)
	if weighed := a.AsWeighed(a.Draw); len(weighed) > 0 {
		return fmt.Sprintf("It stores %.1f %s there.", weighed[0].Energy.Estimate*per, unit)
	}
	e := weight.Energy
	return fmt.Sprintf("It stores %.1f %s there (%.1f–%.1f).", e.Estimate*per, unit, e.Low*per, e.High*per)
}

// tooEarly stands in while too little was read to show anything.
const tooEarly = "The readings can't show an uneven place yet."

func (a Advice) sayEvenness() []string {
	switch {
	case len(a.Findings) > 0:
		return append(each(a.Findings, func(f finding) string { return f.Says }),
			"Percentages compare each place with the aim.")
	case len(a.Unsure) > 0:
		return []string{tooEarly}
	case a.Bends():
		return []string{"No stiff or weak spot shows."}
	}
	return nil
}

func (a Advice) sayUnsure() []string {
	return each(a.Unsure, func(u estimate.Unsure) string {
		return fmt.Sprintf("%s limb, %s: %s. %s",
			session.Capital(u.Side.String()), a.places(u.From, u.To), a.sayHidden(u), a.SayMeasure(u))
	})
}

func (a Advice) sayTiller() []string {
	rule := a.Bow.Ruler()
	var texts []string
	for _, t := range a.Tiller {
		text := fmt.Sprintf("At %s: about %s (%s to %s)",
			a.short(t.At), a.signed(t.Expected.Estimate), a.signed(t.Expected.Low), a.signed(t.Expected.High))
		if measured, known := t.Measured.Get(); known {
			text += ", read " + rule.PrintSigned(measured)
		}
		if aim, known := t.Aim.Get(); known {
			text += ", you want " + rule.PrintSigned(aim)
		}
		texts = append(texts, text)
	}
	if track, _, looked := a.story.Track(); looked {
		texts = append(texts, session.Capital(track.Say(a.Bow))+".")
	}
	return texts
}

func (a Advice) saySet() string {
	follow, ok := a.Follow.Get()
	if !ok {
		return ""
	}
	rule := a.Bow.Ruler()
	text := fmt.Sprintf("It follows the string by %s (%s to %s)", a.length(follow.Estimate),
		rule.Print(measure.Length(follow.Low)), rule.Print(measure.Length(follow.High)))
	if set, known := a.Set.Get(); known {
		text += fmt.Sprintf("; %s since it was first read unstrung", rule.PrintSigned(measure.Length(set.Estimate)))
	}
	return text
}

// sayShot tells what shooting the bow in did to tiller and set, once it was read again.
func (a Advice) sayShot() string {
	arrows, n := a.story.Pass().Shot, len(a.Strips)-1
	if arrows == 0 || n < 1 || unread(a.story) {
		return ""
	}
	was, known := a.Strips[n-1].Tiller.Get()
	now, also := a.Strips[n].Tiller.Get()
	if !known || !also {
		return ""
	}
	return fmt.Sprintf("%d arrows: upper − lower at %s was %s, and is %s; set grew by %s.",
		arrows, a.short(a.aimPlace()), a.signed(was.Estimate), a.signed(now.Estimate), a.signed(a.added))
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

// Taught are, in sentences, what a shop's bows teach of ranges and errors, for a rule and a scale of such
// steps; 0 is the usual.
func Taught(k Kept, r Repeats, units measure.Units, rule measure.Length, scale measure.Force) []string {
	return nonEmpty(append([]string{k.Say()}, r.say(units, float64(rule), float64(scale))...)...)
}
