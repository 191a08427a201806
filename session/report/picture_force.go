package report

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// forcePicture is the force-draw curve, the peaks that were read, and what was ordered. The curve of a bow
// that was weighed when finished is in proportion to that; before, it is the estimate with its range.
func forcePicture(story session.Story, a verdict.Advice) (p picture, ok bool) {
	bow := story.Bow()
	inch := func(v measure.Length) float64 { return v.In(bow.Units.Length) }
	pound := func(v measure.Force) float64 { return v.In(bow.Units.Force) }
	peaks := func(name string, pulls []model.Pull, m mark) series {
		s := series{name: name, look: look{class: "s1", mark: m, bare: true}}
		for _, pull := range pulls {
			s.add(inch(pull.Draw), pound(pull.Peak.Or(0)))
		}
		return s
	}
	tree, shop := peaksApart(story)
	onTree := peaks("read on the tree"+onLong(story), tree, ring)
	finished := peaks("read when finished", shop, disc)
	curve := series{name: "estimate", look: look{class: "s0", width: 2.2}, shade: true}
	for _, f := range curveOf(a) {
		at := func(v float64) float64 { return pound(measure.Force(v)) }
		curve.addRange(inch(measure.Length(f.Draw)), at(f.Force.Estimate), at(f.Force.Low), at(f.Force.High))
	}
	if a.Weighed.Known() {
		curve.name, curve.low, curve.high = "as last weighed", nil, nil
	}
	c := chart{
		x: axis{label: fmt.Sprintf("draw from the belly (%s)", bow.Units.Length), fine: 1},
		y: axis{label: fmt.Sprintf("weight (%s)", bow.Units.Force.Symbol())},
	}
	c.series = slices.DeleteFunc([]series{curve, onTree, finished}, func(s series) bool { return len(s.x) == 0 })
	if len(c.series) == 0 {
		return picture{}, false
	}
	draw, drawKnown := bow.DrawToBelly().Get()
	if weight, known := bow.Order.Weight.Get(); known && drawKnown {
		allow := bow.Order.Allow.Or(0)
		// What the order allows, half an inch wide.
		left, right, low, high := inch(draw-0.25), inch(draw+0.25), pound(weight-allow), pound(weight+allow)
		c.series = append(c.series, series{name: "ordered", look: look{class: "aim", width: 1.4, dash: "3 2"},
			x: []float64{left, right, right, left, left}, y: []float64{low, low, high, high, low}})
	}
	var draws []float64
	for _, s := range c.series {
		draws = append(draws, s.x...)
	}
	c.x.min, c.x.max = around(true, draws)
	c.fitY(true)
	title := "What does it pull, draw by draw?"
	return picture{"force", title, sayForce(bow, a), forceTable(bow, curve, onTree, finished), c}, true
}

func onLong(story session.Story) string {
	if _, pass, ok := story.Weight(); ok {
		if on := story.Strings().At(story.Passes[pass].PulledOn()); on.Kind == model.LongString {
			return ", long string"
		}
	}
	return ""
}

// peaksApart are the peaks of the newest pass that has any, by draw: on the tree, and since finishing began.
func peaksApart(story session.Story) (onTree, finished []model.Pull) {
	_, pass, ok := story.Weight()
	if !ok {
		return nil, nil
	}
	on, finishing := story.Passes[pass].PulledOn(), false
	for line := range session.Counting(story.LinesOf(story.Passes[pass])) {
		if _, step := line.What.(model.Finish); step {
			finishing = true
		}
		if pull, is := line.What.(model.Pull); !is || line.On != on {
			continue
		} else if finishing {
			finished = append(finished, pull)
		} else {
			onTree = append(onTree, pull)
		}
	}
	return session.Peaks(onTree), session.Peaks(finished)
}

// curveOf is what the bow pulls by its last weighing or, before that, by the estimate.
func curveOf(a verdict.Advice) []estimate.Forecast {
	var draws []float64
	for _, f := range a.Curve {
		draws = append(draws, f.Draw)
	}
	if weighed := a.AsWeighed(draws...); len(weighed) > 0 {
		return weighed
	}
	return a.Curve
}

// forceTable has the curve and the peaks that were read, by draw.
func forceTable(bow model.Bow, curve, onTree, finished series) table {
	rule, scale := bow.Ruler(), bow.Weigher()
	force := func(f float64) string { return scale.Print(scale.Unit.Force(f)) }
	rows := make(map[float64][]string)
	for i, s := range []series{curve, onTree, finished} {
		column := [...]int{1, 3, 4}[i]
		for k, x := range s.x {
			draw := math.Round(x*1e6) / 1e6
			if rows[draw] == nil {
				rows[draw] = []string{rule.Print(rule.Unit.Length(draw)), "-", "-", "-", "-"}
			}
			rows[draw][column] = force(s.y[k])
			if s.low != nil {
				rows[draw][2] = force(s.low[k]) + " to " + force(s.high[k])
			}
		}
	}
	t := table{Head: []string{fmt.Sprintf("draw (%s)", rule.Unit),
		fmt.Sprintf("%s (%s)", curve.name, scale.Unit.Symbol()), "likely", "on the tree", "finished"}}
	for _, draw := range slices.Sorted(maps.Keys(rows)) {
		t.Rows = append(t.Rows, rows[draw])
	}
	return t
}

func sayForce(bow model.Bow, a verdict.Advice) string {
	says := cmp.Or(a.SayForecast(verdict.Verdict{}), "You can't tell yet what it pulls at full draw.")
	if energy := a.SayEnergy(); energy != "" {
		says += " " + energy[:len(energy)-1] + ": the shaded area."
	}
	if wanted := session.SayWanted(bow); wanted != "" && !a.Weighed.Known() {
		says += " Ordered: " + wanted + "."
	}
	return says
}
