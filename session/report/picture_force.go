package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// forcePicture is the force-draw curve with its band, the peaks that were read, and what was ordered.
func forcePicture(story session.Story, a verdict.Advice) (p picture, ok bool) {
	bow := story.Bow()
	var peaks []model.Pull // of the newest pass that has any
	named := "peaks read"
	if _, pass, ok := story.Weight(); ok {
		peaks = story.Passes[pass].Peaks()
		if on := story.Strings().At(story.Passes[pass].PulledOn()); on.Kind == model.LongString {
			named += " on the long string"
		}
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
		curve := series{name: estimateOf(a), look: look{class: "s0", width: 2.2}}
		for _, f := range a.Curve {
			x := inch(measure.Length(f.Draw))
			curve.addRange(x, pound(f.Force.Estimate), pound(f.Force.Low), pound(f.Force.High))
		}
		c.series = append(c.series, curve)
	}
	if len(peaks) > 0 {
		read := series{name: named, look: look{class: "s1", mark: disc, bare: true}}
		for _, pull := range peaks {
			read.add(inch(pull.Draw), pull.Peak.Or(0).In(bow.Units.Force))
		}
		c.series = append(c.series, read)
	}
	draw, drawKnown := bow.DrawToBelly().Get()
	if weight, known := bow.Order.Weight.Get(); known && drawKnown {
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
	return picture{"force", "Force over draw", sayForce(bow, a, peaks), forceTable(bow, a, peaks), c}, true
}

// estimateOf names the estimate: of a bow that was weighed when finished it is of before.
func estimateOf(a verdict.Advice) string {
	if a.Weighed.Known() {
		return "on the tree"
	}
	return "estimate"
}

// forceTable has the estimate with the peak that was read there, or the peaks alone.
func forceTable(bow model.Bow, a verdict.Advice, peaks []model.Pull) table {
	rule, scale := bow.Ruler(), bow.Weigher()
	t := table{Head: []string{
		fmt.Sprintf("draw (%s)", bow.Units.Length), fmt.Sprintf("%s (%s)", estimateOf(a), bow.Units.Force.Symbol()),
		"90% range", "peak read",
	}}
	force := func(f float64) string { return scale.Print(measure.Force(f)) }
	for _, f := range a.Curve {
		draw, read := measure.Length(f.Draw), "-"
		at := func(pull model.Pull) bool { return math.Abs(float64(pull.Draw-draw)) < 1e-6 }
		if i := slices.IndexFunc(peaks, at); i >= 0 {
			read = scale.Print(peaks[i].Peak.Or(0))
		}
		band := force(f.Force.Low) + " to " + force(f.Force.High)
		t.Rows = append(t.Rows, []string{rule.Print(draw), force(f.Force.Estimate), band, read})
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
	if said := a.SayForecast(verdict.Verdict{}); said != "" {
		says = append(says, said)
	}
	if wanted := session.SayWanted(bow); wanted != "" {
		says.add("Ordered: " + wanted + ".")
	}
	return strings.Join(says, " ")
}
