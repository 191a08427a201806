package report

import (
	"cmp"
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
		curve := series{name: estimateOf(a), look: look{class: "s0", width: 2.2}}
		for _, f := range a.Curve {
			x := inch(measure.Length(f.Draw))
			curve.addRange(x, pound(f.Force.Estimate), pound(f.Force.Low), pound(f.Force.High))
		}
		c.series = append(c.series, curve)
	}
	if len(peaks) > 0 {
		read := series{name: "peaks read", look: look{class: "s1", mark: disc, bare: true}}
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
		"90 % band", "peak read",
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

// weightsPicture is the peaks at the same draws, pass over pass. ok is false before the first peak.
func weightsPicture(story session.Story, _ verdict.Advice) (p picture, ok bool) {
	draws := followed(story)
	if len(draws) == 0 {
		return picture{}, false
	}
	bow, scale := story.Bow(), story.Bow().Weigher()
	c := chart{x: axis{label: "pass", min: -0.4, max: float64(len(story.Passes)) - 0.6}}
	c.y.label = fmt.Sprintf("peak (%s)", scale.Unit.Symbol())
	t := table{Head: []string{"pass"}, Rows: make([][]string, len(story.Passes))}
	for n := range story.Passes {
		c.x.ticks = append(c.x.ticks, tick{float64(n), fmt.Sprint(n)})
		t.Rows[n] = []string{fmt.Sprint(n)}
	}
	var says sentences
	for i, draw := range draws {
		at := "at " + bow.Ruler().WithUnit(draw)
		t.Head = append(t.Head, fmt.Sprintf("%s (%s)", at, scale.Unit.Symbol()))
		s := series{name: at, look: looks[i]}
		var peaks []measure.Force
		for n, pass := range story.Passes {
			peak := pass.Peak(draw)
			t.Rows[n] = append(t.Rows[n], dashed(peak, scale.Print))
			// A pass without this draw makes no gap: the line goes on across it.
			if known, ok := peak.Get(); ok {
				peaks = append(peaks, known)
				s.add(float64(n), known.In(scale.Unit))
			}
		}
		c.series = append(c.series, s)
		first, last := scale.Print(peaks[0]), scale.WithUnit(peaks[len(peaks)-1])
		if len(peaks) == 1 {
			says.addf("%s it weighed %s", at, last)
		} else {
			says.addf("%s it went from %s to %s in %d passes", at, first, last, len(peaks))
		}
	}
	c.fitY(true)
	if weight, known := bow.Order.Weight.Get(); known && weight.In(scale.Unit) <= 1.3*c.y.max {
		c.level("ordered", weight.In(scale.Unit), look{class: "aim", width: 1, dash: "2 3"})
		c.fitY(true)
	}
	said := fmt.Sprintf("What the bow weighed as wood came off: %s.", strings.Join(says, "; "))
	return picture{"weights", "Weight over the passes", said, t, c}, true
}

// followed returns the four draws that were weighed in most passes, the longest first. Longer draws win ties.
func followed(story session.Story) []measure.Length {
	var draws []measure.Length
	passes := make(map[measure.Length]int)
	for _, pass := range story.Passes {
		for _, pull := range pass.Peaks() {
			i := slices.IndexFunc(draws, func(d measure.Length) bool { return session.SameDraw(d, pull.Draw) })
			if i < 0 {
				i = len(draws)
				draws = append(draws, pull.Draw)
			}
			passes[draws[i]]++
		}
	}
	longer := func(a, b measure.Length) int { return cmp.Compare(b, a) }
	slices.SortFunc(draws, func(a, b measure.Length) int { return cmp.Or(passes[b]-passes[a], longer(a, b)) })
	draws = draws[:min(len(draws), 4)]
	slices.SortFunc(draws, longer)
	return draws
}
