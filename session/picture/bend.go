package picture

import (
	"fmt"
	"math"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session/advice"
)

// Bend is the bend of both limbs against the aim, with its band and the findings. ok is false where the readings do not
// tell it yet.
func Bend(a advice.Advice) (p Picture, ok bool) {
	bow := a.Bow
	if len(a.Limbs[model.Upper].At) == 0 || len(a.Limbs[model.Lower].At) == 0 {
		return Picture{}, false
	}
	unit := measure.Centimetre // over which bend is told, as on the bench
	if bow.Units.Length == measure.Inch {
		unit = measure.Inch
	}
	told := func(v float64) float64 { return 1000 * v / unit.PerInch() }
	at := bow.Ruler().WithUnit(measure.Length(a.Draw))
	p = Picture{Name: "bend", Title: fmt.Sprintf("Bend at %s against the aim", at)}
	where := alongOf(bow)
	c := chart{x: where.axis(), y: axis{label: fmt.Sprintf("bend, 1/1000 per %s", unit)}}
	var all []float64
	p.Table.Head = []string{"limb", fmt.Sprintf("out from the handle (%s)", string(bow.Units.Length)), "bend", "90 % band", "aim", "off the aim"}
	for i, side := range model.Sides {
		limb := a.Limbs[side]
		bend, aim := series{look: looks[0]}, series{look: look{class: "aim", width: 1.4, dash: "7 4"}}
		var edge band
		if i == 1 {
			bend.name, aim.name, edge.name = "bend", "aim", "90 % band"
		}
		for i, s := range limb.At {
			x := where.at(side, measure.Length(s))
			b := limb.Bend[i]
			bend.x, bend.y = append(bend.x, x), append(bend.y, told(b.Estimate))
			aim.x, aim.y = append(aim.x, x), append(aim.y, told(limb.Aim[i]))
			edge.x, edge.low, edge.high = append(edge.x, x), append(edge.low, told(b.Low)), append(edge.high, told(b.High))
			off := "not compared"
			if limb.Compared[i] {
				d := limb.Deviation[i]
				off = fmt.Sprintf("%+.0f %% (%+.0f to %+.0f)", 100*d.Estimate, 100*d.Low, 100*d.High)
			}
			p.Table.Rows = append(p.Table.Rows, []string{
				side.String(), bow.Ruler().Print(measure.Length(s)), fmt.Sprintf("%.1f", told(b.Estimate)),
				fmt.Sprintf("%.1f to %.1f", told(b.Low), told(b.High)), fmt.Sprintf("%.1f", told(limb.Aim[i])), off,
			})
		}
		all = append(append(append(append(all, bend.y...), aim.y...), edge.low...), edge.high...)
		c.series = append(c.series, aim, bend)
		c.bands = append(c.bands, edge)
	}
	c.y.min, c.y.max = around(true, all...)
	for i, f := range a.Findings {
		c.spans = append(c.spans, span{where.at(f.Side, measure.Length(f.From)), where.at(f.Side, measure.Length(f.To)), letter(i)})
	}
	p.chart = c
	p.Says = saysBend(a, at)
	return p, true
}

// letter names a finding in the picture and beside it.
func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return fmt.Sprint(i + 1)
}

func saysBend(a advice.Advice, at string) string {
	var says strings.Builder
	says.WriteString(fmt.Sprintf("How much the draw to %s bends each place of the limbs, with the band that holds the truth nine times in ten, against the aim (dashed).", at) + " ")
	if off, side, place, ok := farthest(a); ok {
		says.WriteString(fmt.Sprintf("Farthest off the aim is the %s limb at %s: %+.0f %%.", side, a.Bow.Ruler().WithUnit(measure.Length(place)), 100*off) + " ")
	}
	for i, f := range a.Findings {
		fmt.Fprintf(&says, "%s: %s ", letter(i), f.Says)
	}
	switch {
	case len(a.Findings) > 0:
	case len(a.Unsure) > 0:
		says.WriteString("The readings cannot show an uneven place everywhere yet.")
	default:
		says.WriteString("No flat spot and no hinge shows.")
	}
	return strings.TrimSpace(says.String())
}

// farthest is the station farthest off the aim.
func farthest(a advice.Advice) (off float64, side model.Side, at float64, ok bool) {
	for _, s := range model.Sides {
		limb := a.Limbs[s]
		for i := range limb.At {
			if d := limb.Deviation[i].Estimate; limb.Compared[i] && (!ok || math.Abs(d) > math.Abs(off)) {
				off, side, at, ok = d, s, limb.At[i], true
			}
		}
	}
	return off, side, at, ok
}
