package report

import (
	"fmt"
	"math"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// bendPicture is the bend of both limbs against the aim, with its band, and with the findings until the bow
// has left the tree.
func bendPicture(a verdict.Advice, left bool) (p picture, ok bool) {
	if len(a.Limbs[model.Upper].At) == 0 || len(a.Limbs[model.Lower].At) == 0 {
		return picture{}, false
	}
	bow := a.Bow
	unit := measure.Centimetre // bend per in or per cm, as on the bench
	if bow.Units.Length == measure.Inch {
		unit = measure.Inch
	}
	c := chart{x: alongAxis(bow), y: axis{label: fmt.Sprintf("bend, 1/1000 per %s", unit)}}
	told := func(v float64) float64 { return 1000 * v / unit.PerInch() }
	figure := func(v float64) string { return fmt.Sprintf("%.1f", told(v)) }
	out := fmt.Sprintf("out from the handle (%s)", bow.Units.Length)
	t := table{Head: []string{"limb", out, "bend", "90 % band", "aim", "off the aim"}}
	for _, side := range model.Sides {
		limb := a.Limbs[side]
		bend, aim := series{look: looks[0]}, series{look: look{class: "aim", width: 1.4, dash: "7 4"}}
		if side == model.Lower {
			bend.name, aim.name = "bend", "aim"
		}
		for i, at := range limb.At {
			x, b := along(bow, side, measure.Length(at)), limb.Bend[i]
			bend.addRange(x, told(b.Estimate), told(b.Low), told(b.High))
			aim.add(x, told(limb.Aim[i]))
			off := "not compared"
			if d := limb.Deviation[i]; limb.Compared[i] {
				off = fmt.Sprintf("%+.0f %% (%+.0f to %+.0f)", 100*d.Estimate, 100*d.Low, 100*d.High)
			}
			t.Rows = append(t.Rows, []string{
				side.String(), bow.Ruler().Print(measure.Length(at)), figure(b.Estimate),
				figure(b.Low) + " to " + figure(b.High), figure(limb.Aim[i]), off,
			})
		}
		c.series = append(c.series, aim, bend)
	}
	c.fitY(true)
	if left {
		a.Findings = nil
	}
	for i, f := range a.Findings {
		from, to := along(bow, f.Side, measure.Length(f.From)), along(bow, f.Side, measure.Length(f.To))
		c.spans = append(c.spans, span{from, to, letter(i)})
	}
	draw := bow.Ruler().WithUnit(measure.Length(a.Draw))
	return picture{"bend", "Bend at " + draw + " against the aim", sayBend(a, draw, left), t, c}, true
}

// letter names a finding in the picture and beside it.
func letter(i int) string { return string(rune('A' + i)) }

func sayBend(a verdict.Advice, draw string, left bool) string {
	var says sentences
	says.addf("How much the draw to %s bends each place of the limbs, with the band that holds the truth "+
		"nine times in ten, against the aim (dashed).", draw)
	if left {
		says.add("This is how it bent on the tree, before finishing.")
		return strings.Join(says, " ")
	}
	far, off := "", 0.0
	for _, side := range model.Sides {
		limb := a.Limbs[side]
		for i, at := range limb.At {
			if d := limb.Deviation[i].Estimate; limb.Compared[i] && (far == "" || math.Abs(d) > math.Abs(off)) {
				off = d
				far = fmt.Sprintf("Farthest off the aim is the %s limb at %s: %+.0f %%.",
					side, a.Bow.Ruler().WithUnit(measure.Length(at)), 100*d)
			}
		}
	}
	says.add(far)
	for i, f := range a.Findings {
		says.addf("%s: %s", letter(i), f.Says)
	}
	switch {
	case len(a.Findings) > 0:
	case len(a.Unsure) > 0:
		says.add("The readings can't show an uneven place everywhere yet.")
	default:
		says.add(noneShows)
	}
	return strings.Join(says, " ")
}
