package ui

import (
	"fmt"
	"math"
	"strings"

	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/advice"
)

// adviceScreen tells in words all that the readings say, each figure with its 90 % band, and what they do not show.
type adviceScreen struct {
	keysOnly
	desk *Desk
	of   *bench
	at   int // first line that is shown
}

func (d *adviceScreen) title() (name, what, right string) {
	right = d.of.reckoningMark()
	if right == "" {
		right = fmt.Sprintf("pass %d", d.of.reckoned.advice.Pass)
	}
	return session.NameOf(d.of.atWork.Story().Bow()), "what the readings say", right
}

func (d *adviceScreen) actions() []action {
	scroll := func(by int) func() move { return func() move { d.at += by; return move{} } }
	return []action{
		{keys: []string{"up", "k"}, show: "up/down", name: "scroll", main: true, long: "Scroll up.", do: scroll(-1)},
		{keys: []string{"down", "j"}, name: "scroll down", long: "Scroll down.", do: scroll(1)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: scroll(-10)},
		{keys: []string{"pgdown", " "}, name: "page down", long: "Go down by a page.", do: scroll(10)},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back to the bench.", do: func() move { return move{back: true} }},
	}
}

// fit implements scroller.
func (d *adviceScreen) fit(width, height int) { d.at = max(0, min(d.at, len(d.lines(width))-height)) }

func (d *adviceScreen) view(width, height int) string {
	lines := d.lines(width)
	first := max(0, min(d.at, len(lines)-height))
	return strings.Join(lines[first:min(first+height, len(lines))], "\n")
}

// lines are the whole advice, wrapped to the width.
func (d *adviceScreen) lines(width int) []string {
	s := d.desk.Styles
	a := d.of.reckoned.advice
	var lines []string
	part := func(heading string, texts ...string) {
		if len(texts) == 0 {
			return
		}
		if len(lines) > 0 {
			lines = append(lines, "")
		}
		lines = append(lines, s.Strong.Render(heading))
		for _, text := range texts {
			for i, line := range wrapped(text, width-4, 8) {
				lead := "- "
				if i > 0 {
					lead = "  "
				}
				lines = append(lines, lead+line)
			}
		}
	}
	part("To heed", a.Cautions...)
	part("Next pull", nonEmpty(strings.TrimPrefix(nextPull(a), "next: "))...)
	part("Weight", nonEmpty(forecast(a), sayEnergy(a))...)
	part("Evenness", append(nonEmpty(a.SayAim()), sayEvenness(a)...)...)
	part("Where to take wood", sayPlan(a)...)
	part("What came off", sayCameOff(a)...)
	part("What further reading would settle", sayUnsure(a)...)
	part("Tiller: upper gap less lower gap, braced", sayTiller(a)...)
	part("Set", nonEmpty(saySet(a))...)
	part("Force-draw curve", nonEmpty(sayCurve(a))...)
	lines = append(lines, "", s.Quiet.Render("Bands hold the truth nine times in ten, as far as the readings are honest."))
	return lines
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

// sayPlan tells the plan in sentences; every stretch of it stands on the plan's own screen.
func sayPlan(a advice.Advice) []string {
	if p, ok := a.Plan.Get(); ok {
		return p.Says
	}
	return nonEmpty(a.NoPlan)
}

func sayCameOff(a advice.Advice) []string {
	var texts []string
	for _, c := range a.CameOff {
		texts = append(texts, c.Says)
	}
	return texts
}

// sayEnergy is the work under the force-draw curve from brace to the ordered draw, in foot-pounds or joules.
func sayEnergy(a advice.Advice) string {
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

func sayEvenness(a advice.Advice) []string {
	var texts []string
	for _, finding := range a.Findings {
		texts = append(texts, finding.Says)
	}
	switch {
	case len(texts) > 0:
		return append(texts, "Per cents, here and at the stations, are of the aim at the limb's own scale.")
	case len(a.Unsure) > 0:
		return []string{"The readings cannot show an uneven place yet."}
	case bends(a):
		return []string{"No flat spot and no hinge shows."}
	}
	return nil
}

func sayUnsure(a advice.Advice) []string {
	var texts []string
	for _, unsure := range a.Unsure {
		rule := a.Bow.Ruler()
		texts = append(texts, fmt.Sprintf("%s limb, %s to %s cannot be told yet. %s", unsure.Side,
			rule.Short(measure.Length(unsure.From)), rule.WithUnit(measure.Length(unsure.To)), unsure.WouldSettle))
	}
	return texts
}

func sayTiller(a advice.Advice) []string {
	fine := measure.Rule{Unit: a.Bow.Units.Length, Step: a.Bow.Units.Length.DefaultStep() / 2}
	var texts []string
	for _, t := range a.Tiller {
		text := fmt.Sprintf("at %s %s: %s by the estimate (%s to %s)", a.Bow.Ruler().Short(measure.Length(t.At)), a.Bow.Units.Length,
			fine.PrintSigned(measure.Length(t.Expected.Estimate)), fine.PrintSigned(measure.Length(t.Expected.Low)), fine.PrintSigned(measure.Length(t.Expected.High)))
		if measured, known := t.Measured.Get(); known {
			text += ", measured " + a.Bow.Ruler().PrintSigned(measured)
		}
		if aim, known := t.Aim.Get(); known {
			text += ", wanted " + a.Bow.Ruler().PrintSigned(aim)
		}
		texts = append(texts, text)
	}
	return texts
}

func saySet(a advice.Advice) string {
	follow, ok := a.Follow.Get()
	if !ok {
		return ""
	}
	rule := a.Bow.Ruler()
	text := fmt.Sprintf("string follow %s (%s to %s)", rule.WithUnit(measure.Length(follow.Estimate)), rule.Print(measure.Length(follow.Low)), rule.Print(measure.Length(follow.High)))
	if set, known := a.Set.Get(); known {
		text += fmt.Sprintf("; %s since it was first read relaxed", rule.PrintSigned(measure.Length(set.Estimate)))
	}
	return text
}

// sayCurve is the force at every 2 in, or 5 cm, of the draw.
func sayCurve(a advice.Advice) string {
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
