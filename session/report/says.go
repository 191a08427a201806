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
	points, found := sentences{}, sentences{}
	points.add(a.SayForecast(d.Now))
	if !leftTree(a, d.Now) {
		for i, f := range a.Findings {
			d.Findings = append(d.Findings, letter(i)+": "+f.Says)
			found.add(f.Says)
		}
		d.Cautions = a.Under(d.Now).Cautions
		points.add(a.SayStop(d.Now))
		points.add(a.SayAim())
		points = append(points, found...)
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
		all = append(all, fact{Name: "Weighed", Value: scale.WithUnit(pull.Peak.Or(0)), Beside: beside})
	}
	if f, ok := a.Weight.Get(); ok && !a.Weighed.Known() {
		low, high := scale.Print(measure.Force(f.Force.Low)), scale.Print(measure.Force(f.Force.High))
		all = append(all, fact{Name: "Forecast " + at(measure.Length(f.Draw)),
			Value: scale.WithUnit(measure.Force(f.Force.Estimate)), Beside: low + "–" + high})
	}
	if weight, ok := bow.Order.Weight.Get(); ok {
		to := func(draw measure.Length) string { return at(draw) + " " + session.SayDrawTo(bow.Order.DrawTo) }
		ordered := session.SayOrdered(bow, weight)
		all = append(all, fact{Name: "Ordered", Value: ordered, Beside: known(bow.Order.Draw, to)})
	}
	tiller, _ := story.TillerOf(len(story.Passes) - 1)
	if gap, ok := tiller.AtAim(); ok {
		wanted := func(aim measure.Length) string { return "; wanted " + rule.PrintSigned(aim) }
		all = append(all, fact{Name: "Tiller " + at(tiller.AimAt), Value: signed(rule, gap.Difference),
			Beside: "upper − lower, braced" + known(tiller.Aim, wanted)})
	}
	return all
}

// passTable is the story in a line a pass: what the bow weighed after it, and what came off.
func passTable(story session.Story) *table {
	bow := story.Bow()
	t := table{Caption: "Pass by pass", Words: true,
		Head: []string{"pass", "longest pull", "tiller", "came off"}}
	for n, pass := range story.Passes {
		row := []string{fmt.Sprint(n), "-", "-", takenOff(bow, pass)}
		if pull, ok := pass.LongestPull(); ok {
			row[1] = session.SayPeak(bow, pull)
		}
		tiller, _ := story.TillerOf(n)
		if gap, ok := tiller.AtAim(); ok && tiller.Pass == n {
			row[2] = bow.Ruler().PrintSigned(gap.Difference)
		}
		t.Rows = append(t.Rows, row)
	}
	return &t
}

// takenOff says where wood came off in a pass, limb by limb, with strokes where they were counted.
func takenOff(bow model.Bow, pass session.Pass) string {
	rule := bow.Ruler()
	var limbs []string
	for _, side := range model.Sides {
		var parts []string
		for _, s := range pass.Scrapes {
			if s.Limb == side {
				strokes := known(s.Strokes, func(n int) string { return fmt.Sprintf(" ×%d", n) })
				parts = append(parts, rule.Short(s.From)+"–"+rule.Short(s.To)+strokes)
			}
		}
		if len(parts) > 0 {
			limbs = append(limbs, side.String()+" "+strings.Join(parts, ", "))
		}
	}
	return cmp.Or(strings.Join(limbs, "; "), "-")
}
