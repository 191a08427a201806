package report

import (
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// say adds the verdict and what the readings say: as sentences, and as a page's figures, findings and cautions.
func (d *Document) say(a verdict.Advice, v verdict.Verdict) {
	d.Now = v
	d.Figures = figures(a)
	points := nonEmpty(a.SayForecast())
	// What a bow was like on the tree says nothing of one that has left it.
	if v.Do != verdict.Finish && v.Do != verdict.None {
		for _, f := range a.Findings {
			d.Findings = append(d.Findings, f.Says)
		}
		d.Cautions = a.Cautions
		points = nonEmpty(append(append(points, a.SayStop(), a.SayAim()), d.Findings...)...)
		if len(a.Findings) == 0 && a.Bends() && len(a.Unsure) == 0 {
			points = append(points, "No stiff or weak spot shows.")
		}
		points = append(points, d.Cautions...)
	}
	if a.Read && len(points) > 0 {
		blocks := []block{{List: points}}
		d.Parts = append(d.Parts, part{Heading: "What the readings say", Blocks: blocks, Figured: true})
	}
}

func nonEmpty(texts ...string) []string {
	return slices.DeleteFunc(texts, func(text string) bool { return text == "" })
}

// figures are those that a page writes large.
func figures(a verdict.Advice) []fact {
	story := a.Story()
	bow := story.Bow()
	rule, scale := bow.Ruler(), bow.Weigher()
	unit := " " + string(rule.Unit)
	var all []fact
	if pull, pass, ok := story.Weight(); ok {
		beside := fmt.Sprintf("at %s, pass %d", rule.WithUnit(pull.Draw), pass)
		all = append(all, fact{"Weighed", scale.WithUnit(pull.Peak.Or(0)), beside})
	}
	if f, ok := a.Weight.Get(); ok && !a.Weighed.Known() {
		low, high := scale.Print(measure.Force(f.Force.Low)), scale.Print(measure.Force(f.Force.High))
		all = append(all, fact{
			"Forecast at " + rule.Short(measure.Length(f.Draw)) + unit,
			scale.WithUnit(measure.Force(f.Force.Estimate)), low + "–" + high,
		})
	}
	if weight, known := bow.Order.Weight.Get(); known {
		beside := ""
		if draw, known := bow.Order.Draw.Get(); known {
			beside = "at " + rule.Short(draw) + unit + " " + session.SayDrawTo(bow.Order.DrawTo)
		}
		all = append(all, fact{"Ordered", session.SayOrdered(bow, weight), beside})
	}
	tiller, _ := story.TillerOf(len(story.Passes) - 1)
	if gap, ok := tiller.AtAim(); ok {
		beside := "upper gap less lower gap, braced"
		if aim, known := tiller.Aim.Get(); known {
			beside += "; wanted " + rule.PrintSigned(aim)
		}
		at := "Tiller at " + rule.Short(tiller.AimAt) + unit
		all = append(all, fact{at, signed(rule, gap.Difference), beside})
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
		if tiller, ok := story.TillerOf(n); ok && tiller.Pass == n {
			if gap, ok := tiller.AtAim(); ok {
				row[3] = bow.Ruler().PrintSigned(gap.Difference)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return &t
}

// takenOff says where wood came off in a pass, with strokes where they were counted.
func takenOff(bow model.Bow, pass session.Pass) string {
	if len(pass.Scrapes) == 0 {
		return "nothing: as it first came to the tree"
	}
	rule := bow.Ruler()
	var parts []string
	for _, s := range pass.Scrapes {
		said := fmt.Sprintf("%s %s to %s", s.Limb, rule.Short(s.From), rule.Short(s.To))
		if strokes, known := s.Strokes.Get(); known {
			said += fmt.Sprintf(" (%d strokes)", strokes)
		}
		parts = append(parts, said)
	}
	return strings.Join(parts, ", ")
}
