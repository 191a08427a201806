package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// evennessPicture is how far both limbs bend off the aim, the last pass with its range over the first that
// tells it, and with the findings until the bow has left the tree.
func evennessPicture(a verdict.Advice, left bool) (p picture, ok bool) {
	first, last := slices.IndexFunc(a.Strips, verdict.Strip.Tells), len(a.Strips)-1
	if first < 0 || !a.Strips[last].Tells() {
		return picture{}, false
	}
	bow, scale := a.Bow, 100*a.Scale()
	c := chart{x: alongAxis(bow), y: axis{label: "% off the aim: weak up, stiff down", min: -scale, max: scale}}
	t := table{Head: []string{"limb", fmt.Sprintf("out from the handle (%s)", bow.Units.Length),
		fmt.Sprintf("pass %d", last), "range"}}
	if first < last {
		t.Head = append(t.Head, fmt.Sprintf("pass %d", first))
	}
	for _, side := range model.Sides {
		then := evennessLine(bow, a.Strips[first], side, dottedLine)
		now := evennessLine(bow, a.Strips[last], side, solidLine)
		for i, at := range a.Strips[last].Limbs[side].At {
			between := percent(now.low[i])
			if drawable(now.y[i]) {
				between += " to " + percent(now.high[i])
			}
			row := []string{side.String(), bow.Ruler().Short(measure.Length(at)),
				percent(now.y[i]), between, percent(then.y[i])}
			t.Rows = append(t.Rows, row[:len(t.Head)])
		}
		if then.low, then.high = nil, nil; first < last {
			c.series = append(c.series, then)
		}
		c.series = append(c.series, now)
	}
	c.level("as wanted", 0, look{class: "aim", width: 1.4, dash: "7 4"})
	if left {
		a.Findings = nil
	}
	for i, f := range a.Findings {
		from, to := along(bow, f.Side, measure.Length(f.From)), along(bow, f.Side, measure.Length(f.To))
		c.spans = append(c.spans, span{from, to, letter(i)})
	}
	return picture{"evenness", "How evenly does it bend?", sayEvenness(a, left), t, c}, true
}

// evennessLine is a limb in a pass; where the readings can't tell a place there is a gap.
func evennessLine(bow model.Bow, s verdict.Strip, side model.Side, l look) series {
	line := series{look: l}
	if side == model.Lower {
		line.name = fmt.Sprintf("pass %d", s.Pass)
	}
	course := s.Limbs[side]
	for i, at := range course.At {
		d := course.Deviation[i]
		if !course.Known[i] {
			d = estimate.Figure{Estimate: math.NaN(), Low: math.NaN(), High: math.NaN()}
		}
		line.addRange(along(bow, side, measure.Length(at)), 100*d.Estimate, 100*d.Low, 100*d.High)
	}
	return line
}

// percent is a hundredth with its sign, without one where it rounds to 0; "-" where the readings can't tell.
func percent(hundredths float64) string {
	switch hundredths = math.Round(hundredths); {
	case !drawable(hundredths):
		return "-"
	case hundredths == 0:
		return "0%"
	}
	return fmt.Sprintf("%+.0f%%", hundredths)
}

// letter names a finding in the picture and beside it.
func letter(i int) string { return string(rune('A' + i)) }

func sayEvenness(a verdict.Advice, left bool) string {
	says := fmt.Sprintf("How much more or less than the aim each place bends at %s: up is weak, down is stiff.",
		a.Bow.Ruler().WithUnit(measure.Length(a.Draw)))
	switch {
	case left:
		return says + " This is how it bent on the tree, before finishing."
	case len(a.Findings) > 0:
		return says + " The letters are those of the stiff and weak spots above."
	case len(a.Unsure) > 0:
		return says + " The readings can't show every uneven place yet."
	}
	return says + " " + noneShows
}

// wayPicture is the weight at the order as it was foretold pass by pass, with its range, and the weight
// wanted; there is none before two passes foretold it.
func wayPicture(_ session.Story, a verdict.Advice) (p picture, ok bool) {
	bow, scale := a.Bow, a.Bow.Weigher()
	at := bow.Ruler().WithUnit(measure.Length(a.Draw))
	c := chart{x: axis{label: "pass", min: -0.4, max: float64(len(a.Strips)) - 0.6}}
	c.y.label = fmt.Sprintf("%s at %s", scale.Unit.Symbol(), at)
	t := table{Head: []string{"pass", fmt.Sprintf("forecast (%s)", scale.Unit.Symbol()), "range"}}
	force := func(f float64) float64 { return measure.Force(f).In(scale.Unit) }
	print := func(f float64) string { return scale.Print(measure.Force(f)) }
	way := series{name: "forecast", look: solidLine.marked(disc)}
	var all []estimate.Figure
	for _, s := range a.Strips {
		f, known := s.Weight.Get()
		if !known {
			continue
		}
		n := float64(s.Pass)
		c.x.ticks = append(c.x.ticks, tick{n, fmt.Sprint(s.Pass)})
		way.addRange(n, force(f.Estimate), force(f.Low), force(f.High))
		between := print(f.Low) + " to " + print(f.High)
		t.Rows = append(t.Rows, []string{fmt.Sprint(s.Pass), print(f.Estimate), between})
		all = append(all, f)
	}
	if len(all) < 2 {
		return picture{}, false
	}
	c.series = append(c.series, way)
	first, last := all[0], all[len(all)-1]
	foretold := "The weight at %s on the tree, as each pass's readings foretold it: " +
		"from %s (%s–%s) to %s (%s–%s)."
	says := sentences{fmt.Sprintf(foretold,
		at, print(first.Estimate), print(first.Low), print(first.High),
		scale.WithUnit(measure.Force(last.Estimate)), print(last.Low), print(last.High))}
	if wanted, known := a.Wanted.Get(); known {
		c.level("wanted", wanted.Weight.In(scale.Unit), look{class: "aim", width: 1, dash: "2 3"})
		says.addf("Wanted there: %s.", session.SayOrdered(bow, wanted.Weight))
	}
	c.fitY(false)
	return picture{"way", "How did its weight come down?", strings.Join(says, " "), t, c}, true
}
