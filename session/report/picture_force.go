package report

import (
	"cmp"
	"fmt"
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
	curve := curveOf(a)
	onTree, finished := peaksApart(story)
	if len(curve) == 0 && len(onTree)+len(finished) == 0 {
		return picture{}, false
	}
	c := chart{
		x: axis{label: fmt.Sprintf("draw from the belly (%s)", bow.Units.Length), fine: 1},
		y: axis{label: fmt.Sprintf("weight (%s)", bow.Units.Force.Symbol())},
	}
	inch := func(v measure.Length) float64 { return v.In(bow.Units.Length) }
	pound := func(v measure.Force) float64 { return v.In(bow.Units.Force) }
	line := series{name: curveName(a), look: look{class: "s0", width: 2.2}}
	for _, f := range curve {
		at := func(v float64) float64 { return pound(measure.Force(v)) }
		line.addRange(inch(measure.Length(f.Draw)), at(f.Force.Estimate), at(f.Force.Low), at(f.Force.High))
	}
	if line.shade = true; a.Weighed.Known() {
		line.low, line.high = nil, nil
	}
	if len(curve) > 0 {
		c.series = append(c.series, line)
	}
	for _, read := range []struct {
		name  string
		peaks []model.Pull
		mark  mark
	}{{"read on the tree" + onLong(story), onTree, ring}, {"read when finished", finished, disc}} {
		s := series{name: read.name, look: look{class: "s1", mark: read.mark, bare: true}}
		for _, pull := range read.peaks {
			s.add(inch(pull.Draw), pound(pull.Peak.Or(0)))
		}
		if len(s.x) > 0 {
			c.series = append(c.series, s)
		}
	}
	draw, drawKnown := bow.DrawToBelly().Get()
	if weight, known := bow.Order.Weight.Get(); known && drawKnown {
		c.series = append(c.series, orderBox(inch, pound, draw, weight, bow.Order.Allow.Or(0)))
	}
	var draws []float64
	for _, s := range c.series {
		draws = append(draws, s.x...)
	}
	c.x.min, c.x.max = around(true, draws)
	c.fitY(true)
	title := "What does it pull, draw by draw?"
	return picture{"force", title, sayForce(bow, a), forceTable(bow, a, onTree, finished), c}, true
}

// orderBox is the weights that the order allows, half an inch wide, at the ordered draw.
func orderBox(
	inch func(measure.Length) float64, pound func(measure.Force) float64,
	draw measure.Length, weight, allow measure.Force,
) series {
	left, right := inch(draw-0.25), inch(draw+0.25)
	low, high := pound(weight-allow), pound(weight+allow)
	return series{name: "ordered", look: look{class: "aim", width: 1.4, dash: "3 2"},
		x: []float64{left, right, right, left, left}, y: []float64{low, low, high, high, low}}
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

func curveName(a verdict.Advice) string {
	if a.Weighed.Known() {
		return "as last weighed"
	}
	return "estimate"
}

// forceTable has the curve and the peaks that were read, by draw.
func forceTable(bow model.Bow, a verdict.Advice, onTree, finished []model.Pull) table {
	rule, scale := bow.Ruler(), bow.Weigher()
	t := table{Head: []string{fmt.Sprintf("draw (%s)", bow.Units.Length),
		fmt.Sprintf("%s (%s)", curveName(a), scale.Unit.Symbol()), "likely", "on the tree", "finished"}}
	force := func(f float64) string { return scale.Print(measure.Force(f)) }
	var draws []float64
	curve := curveOf(a)
	for _, f := range curve {
		draws = append(draws, f.Draw)
	}
	for _, pull := range slices.Concat(onTree, finished) {
		draws = append(draws, float64(pull.Draw))
	}
	slices.Sort(draws)
	near := func(a, b float64) bool { return math.Abs(a-b) < 1e-6 }
	for _, draw := range slices.CompactFunc(draws, near) {
		row := []string{rule.Print(measure.Length(draw)), "-", "-", "-", "-"}
		at := func(f estimate.Forecast) bool { return near(f.Draw, draw) }
		if i := slices.IndexFunc(curve, at); i >= 0 {
			row[1] = force(curve[i].Force.Estimate)
			if !a.Weighed.Known() {
				row[2] = force(curve[i].Force.Low) + " to " + force(curve[i].Force.High)
			}
		}
		for k, peaks := range [][]model.Pull{onTree, finished} {
			pulled := func(pull model.Pull) bool { return near(float64(pull.Draw), draw) }
			if i := slices.IndexFunc(peaks, pulled); i >= 0 {
				row[3+k] = scale.Print(peaks[i].Peak.Or(0))
			}
		}
		t.Rows = append(t.Rows, row)
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
