package report

import (
	"fmt"
	"math"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// forcePicture is the force-draw curve with its band, the peaks that were read, and what was ordered. ok is
// false before the first peak.
func forcePicture(story session.Story, a verdict.Advice) (p picture, ok bool) {
	bow := story.Bow()
	var peaks []model.Pull // of the newest pass that has any
	if _, pass, ok := story.Weight(); ok {
		peaks = story.Passes[pass].Peaks()
	}
	if len(a.Curve) == 0 && len(peaks) == 0 {
		return picture{}, false
	}
	c := chart{
		x: axis{label: fmt.Sprintf("draw from the belly (%s)", bow.Units.Length)},
		y: axis{label: fmt.Sprintf("force (%s)", bow.Units.Force.Symbol())},
	}
	inch := func(v measure.Length) float64 { return v.In(bow.Units.Length) }
	pound := func(v float64) float64 { return measure.Force(v).In(bow.Units.Force) }
	if len(a.Curve) > 0 {
		curve, edge := series{name: "estimate", look: look{class: "s0", width: 2.2}}, band{name: "90 % band"}
		for _, f := range a.Curve {
			x := inch(measure.Length(f.Draw))
			curve.add(x, pound(f.Force.Estimate))
			edge.add(x, pound(f.Force.Low), pound(f.Force.High))
		}
		c.series, c.bands = append(c.series, curve), append(c.bands, edge)
	}
	read := series{name: "peaks read", look: look{class: "s1", mark: disc, bare: true}}
	for _, pull := range peaks {
		read.add(inch(pull.Draw), pull.Peak.Or(0).In(bow.Units.Force))
	}
	if len(peaks) > 0 {
		c.series = append(c.series, read)
	}
	draw, drawKnown := bow.DrawToBelly().Get()
	weight, weightKnown := bow.Order.Weight.Get()
	if drawKnown && weightKnown {
		ordered := series{name: "ordered", look: look{class: "aim", mark: cross, bare: true}}
		ordered.add(inch(draw), weight.In(bow.Units.Force))
		c.series = append(c.series, ordered)
	}
	var draws []float64
	for _, s := range c.series {
		draws = append(draws, s.x...)
	}
	c.x.min, c.x.max = around(true, draws)
	c.fitY(true)
	return picture{
		Name: "force", Title: "Force over draw",
		Says: sayForce(bow, a, peaks), Table: forceTable(bow, a, peaks), chart: c,
	}, true
}

// forceTable has the estimate with the peak that was read there, or the peaks alone.
func forceTable(bow model.Bow, a verdict.Advice, peaks []model.Pull) Table {
	rule, scale := bow.Ruler(), bow.Weigher()
	t := Table{Head: []string{
		fmt.Sprintf("draw (%s)", bow.Units.Length), fmt.Sprintf("estimate (%s)", bow.Units.Force.Symbol()),
		"90 % band", "peak read",
	}}
	peakAt := func(draw measure.Length) string {
		for _, pull := range peaks {
			if math.Abs(float64(pull.Draw-draw)) < 1e-6 {
				return scale.Print(pull.Peak.Or(0))
			}
		}
		return "-"
	}
	for _, f := range a.Curve {
		draw := measure.Length(f.Draw)
		band := scale.Print(measure.Force(f.Force.Low)) + " to " + scale.Print(measure.Force(f.Force.High))
		row := []string{rule.Print(draw), scale.Print(measure.Force(f.Force.Estimate)), band, peakAt(draw)}
		t.Rows = append(t.Rows, row)
	}
	if len(a.Curve) == 0 {
		for _, pull := range peaks {
			t.Rows = append(t.Rows, []string{rule.Print(pull.Draw), "-", "-", scale.Print(pull.Peak.Or(0))})
		}
	}
	return t
}

func sayForce(bow model.Bow, a verdict.Advice, peaks []model.Pull) string {
	var says sentences
	if n := len(peaks); n > 0 {
		says.addf("The longest pull with a peak weighed %s.", session.SayPeak(bow, peaks[n-1]))
	}
	if f, ok := a.Weight.Get(); ok {
		says.addf("At %s the bow is estimated to weigh %s, nine times in ten between %s and %s.",
			forecast(bow, f)...)
	}
	if wanted := session.SayWanted(bow); wanted != "" {
		says.addf("Ordered: %s.", wanted)
	}
	return strings.Join(says, " ")
}
