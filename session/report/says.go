package report

import (
	"cmp"
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// say adds what the readings say: as sentences, and as a page's figures, findings and cautions.
func (d *Document) say(a verdict.Advice) {
	d.Figures = figures(a)
	points := sentences{}
	points.add(a.SayForecast(d.Now))
	if !leftTree(a, d.Now) {
		for _, f := range a.Findings {
			d.Findings = append(d.Findings, f.Says)
		}
		d.Cautions = a.Cautions
		points.add(a.SayStop(d.Now))
		points.add(a.SayAim())
		points = append(points, d.Findings...)
		if len(a.Findings) == 0 && a.Bends() && len(a.Unsure) == 0 {
			points.add(noneShows)
		}
		points = append(points, d.Cautions...)
	}
	if a.Read && len(points) > 0 {
		d.Parts = append(d.Parts, part{"What the readings say", []block{{List: points}}, true})
	}
}

// leftTree says whether the tree is behind a bow: what it was like there says nothing of it now.
func leftTree(a verdict.Advice, v verdict.Verdict) bool {
	return v.Do == verdict.Finish || v.Do == verdict.None || a.Weighed.Known()
}

const noneShows = "No stiff or weak spot shows."

// figures are those that a page writes large.
func figures(a verdict.Advice) []fact {
	story := a.Story()
	bow := story.Bow()
	rule, scale := bow.Ruler(), bow.Weigher()
	at := func(l measure.Length) string { return "at " + rule.Short(l) + " " + string(rule.Unit) }
	var all []fact
	if pull, pass, ok := story.Weight(); ok {
		beside := fmt.Sprintf("at %s, pass %d", rule.WithUnit(pull.Draw)+session.SayLong(pull), pass)
		all = append(all, fact{"Weighed", scale.WithUnit(pull.Peak.Or(0)), beside})
	}
	if f, ok := a.Weight.Get(); ok && !a.Weighed.Known() {
		low, high := scale.Print(measure.Force(f.Force.Low)), scale.Print(measure.Force(f.Force.High))
		all = append(all, fact{
			"Forecast " + at(measure.Length(f.Draw)), scale.WithUnit(measure.Force(f.Force.Estimate)),
			low + "–" + high,
		})
	}
	if weight, ok := bow.Order.Weight.Get(); ok {
		to := func(draw measure.Length) string { return at(draw) + " " + session.SayDrawTo(bow.Order.DrawTo) }
		all = append(all, fact{"Ordered", session.SayOrdered(bow, weight), known(bow.Order.Draw, to)})
	}
	tiller, _ := story.TillerOf(len(story.Passes) - 1)
	if gap, ok := tiller.AtAim(); ok {
		wanted := func(aim measure.Length) string { return "; wanted " + rule.PrintSigned(aim) }
		all = append(all, fact{"Tiller " + at(tiller.AimAt), signed(rule, gap.Difference),
			"upper − lower gap, braced" + known(tiller.Aim, wanted)})
	}
	return all
}

// passTable is the story in a line a pass: what came off, and what the bow weighed then.
func passTable(story session.Story) *table {
	bow := story.Bow()
	t := table{Caption: "Pass by pass", Head: []string{"pass", "taken off", "longest pull", "tiller"}}
	for n, pass := range story.Passes {
		row := []string{fmt.Sprint(n), takenOff(bow, pass), "-", "-"}
		if pull, ok := pass.LongestPull(); ok {
			row[2] = session.SayPeak(bow, pull)
		}
		tiller, _ := story.TillerOf(n)
		if gap, ok := tiller.AtAim(); ok && tiller.Pass == n {
			row[3] = bow.Ruler().PrintSigned(gap.Difference)
		}
		t.Rows = append(t.Rows, row)
	}
	return &t
}

// takenOff says where wood came off in a pass, with strokes where they were counted.
func takenOff(bow model.Bow, pass session.Pass) string {
	rule := bow.Ruler()
	var parts []string
	for _, s := range pass.Scrapes {
		strokes := known(s.Strokes, func(n int) string { return fmt.Sprintf(" (%d strokes)", n) })
		parts = append(parts, fmt.Sprintf("%s %s to %s%s", s.Limb, rule.Short(s.From), rule.Short(s.To), strokes))
	}
	return cmp.Or(strings.Join(parts, ", "), "nothing: as it first came to the tree")
}
