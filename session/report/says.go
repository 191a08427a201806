package report

import (
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// say adds what the readings say: as sentences, and as a page's figures, findings and cautions.
func (d *Document) say(story session.Story, a verdict.Advice) {
	d.Figures = figures(story, a)
	for _, f := range a.Findings {
		d.Findings = append(d.Findings, f.Says)
	}
	d.Cautions = a.Cautions
	if points := sayReadings(story, a); a.Read && len(points) > 0 {
		blocks := []block{{List: points}}
		d.Parts = append(d.Parts, part{Heading: "What the readings say", Blocks: blocks, Figured: true})
	}
}

// sayReadings says the weight to come, how the limbs bend, the next pull of a bow in hand, and the cautions.
func sayReadings(story session.Story, a verdict.Advice) []string {
	rule, scale := a.Bow.Ruler(), a.Bow.Weigher()
	var points sentences
	if peak, known := a.Weighed.Get(); known {
		points.addf("Drawn %s it weighed %s when it was finished.",
			rule.WithUnit(measure.Length(a.Draw)), scale.WithUnit(peak))
	} else if f, ok := a.Weight.Get(); ok {
		points.addf("Drawn %s, it is expected to weigh %s; nine times in ten between %s and %s.",
			forecast(a.Bow, f)...)
	}
	if text := a.SayAim(); text != "" {
		points = append(points, text)
	}
	for _, f := range a.Findings {
		points = append(points, f.Says)
	}
	if len(a.Findings) == 0 && len(a.Limbs[0].At) > 0 && len(a.Unsure) == 0 {
		points = append(points, "No flat spot and no hinge shows.")
	}
	if next, ok := a.Next.Get(); ok && story.InHand && next.Draw > 0 {
		points.addf("Next pull: no farther than %s (%s).", rule.WithUnit(measure.Length(next.Draw)), next.Because)
	}
	if p, planned := a.Plan.Get(); planned && story.InHand && !a.Weighed.Known() && p.Line != "" {
		points = append(points, strings.TrimSuffix(p.Line, ".")+".")
	}
	return append(points, a.Cautions...)
}

// forecast has a weight to come for a sentence: the draw, the weight, and between what it lies.
func forecast(bow model.Bow, f estimate.Forecast) []any {
	scale := bow.Weigher()
	return []any{
		bow.Ruler().WithUnit(measure.Length(f.Draw)), scale.WithUnit(measure.Force(f.Force.Estimate)),
		scale.Print(measure.Force(f.Force.Low)), scale.WithUnit(measure.Force(f.Force.High)),
	}
}

// figures are those that a page writes large.
func figures(story session.Story, a verdict.Advice) []fact {
	bow := story.Bow()
	rule, scale := bow.Ruler(), bow.Weigher()
	unit := " " + string(rule.Unit)
	var all []fact
	if pull, pass, ok := story.Weight(); ok {
		beside := fmt.Sprintf("at %s, pass %d", rule.WithUnit(pull.Draw), pass)
		all = append(all, fact{"Weighed", scale.WithUnit(pull.Peak.Or(0)), beside})
	}
	if f, ok := a.Weight.Get(); ok {
		low, high := scale.Print(measure.Force(f.Force.Low)), scale.Print(measure.Force(f.Force.High))
		all = append(all, fact{
			"Forecast at " + rule.Short(measure.Length(f.Draw)) + unit,
			scale.WithUnit(measure.Force(f.Force.Estimate)), fmt.Sprintf("nine times in ten %s to %s", low, high),
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
