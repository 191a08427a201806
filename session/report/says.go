package report

import (
	"cmp"
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
	if points := sayReadings(story, a, d.Findings); a.Read && len(points) > 0 {
		d.Parts = append(d.Parts, part{"What the readings say", []block{{List: points}}, true})
	}
}

// sayReadings says the weight to come, how the limbs bend, the next pull of a bow in hand, and the cautions.
func sayReadings(story session.Story, a verdict.Advice, findings []string) []string {
	rule := a.Bow.Ruler()
	var points sentences
	if peak, known := a.Weighed.Get(); known {
		points.addf("Drawn %s it weighed %s when it was finished.",
			rule.WithUnit(measure.Length(a.Draw)), a.Bow.Weigher().WithUnit(peak))
	} else if f, ok := a.Weight.Get(); ok {
		points.addf("Drawn %s, it is expected to weigh %s; nine times in ten between %s and %s.",
			forecast(a.Bow, f)...)
	}
	points.add(a.SayAim())
	points = append(points, findings...)
	if len(findings) == 0 && len(a.Limbs[0].At) > 0 && len(a.Unsure) == 0 {
		points.add(noneShows)
	}
	if next, ok := a.Next.Get(); ok && story.InHand && next.Draw > 0 {
		points.addf("Next pull: no farther than %s (%s).", rule.WithUnit(measure.Length(next.Draw)), next.Because)
	}
	if p, planned := a.Plan.Get(); planned && story.InHand && !a.Weighed.Known() && p.Line != "" {
		points.add(strings.TrimSuffix(p.Line, ".") + ".")
	}
	return append(points, a.Cautions...)
}

const noneShows = "No flat spot and no hinge shows."

// forecast returns a forecast's draw, weight, low and high, for a sentence with four %s.
func forecast(bow model.Bow, f estimate.Forecast) []any {
	scale := bow.Weigher()
	return []any{
		bow.Ruler().WithUnit(measure.Length(f.Draw)), scale.WithUnit(measure.Force(f.Force.Estimate)),
		scale.Print(measure.Force(f.Force.Low)), scale.WithUnit(measure.Force(f.Force.High)),
	}
}

// figures are shown in large letters on a page.
func figures(story session.Story, a verdict.Advice) []fact {
	bow := story.Bow()
	rule, scale := bow.Ruler(), bow.Weigher()
	at := func(l measure.Length) string { return "at " + rule.Short(l) + " " + string(rule.Unit) }
	var all []fact
	if pull, pass, ok := story.Weight(); ok {
		beside := fmt.Sprintf("at %s, pass %d", rule.WithUnit(pull.Draw), pass)
		all = append(all, fact{"Weighed", scale.WithUnit(pull.Peak.Or(0)), beside})
	}
	if f, ok := a.Weight.Get(); ok {
		low, high := scale.Print(measure.Force(f.Force.Low)), scale.Print(measure.Force(f.Force.High))
		all = append(all, fact{
			"Forecast " + at(measure.Length(f.Draw)), scale.WithUnit(measure.Force(f.Force.Estimate)),
			fmt.Sprintf("nine times in ten %s to %s", low, high),
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
			"upper gap less lower gap, braced" + known(tiller.Aim, wanted)})
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
