package summary

import (
	"fmt"
	"strings"

	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/advice"
)

// With is the document with what the readings say before its first session: the weight to come, how the limbs bend, the
// next pull of a bow in hand, and what is to be heeded.
func (d Document) With(story session.Story, a advice.Advice) Document {
	if !a.Read {
		return d
	}
	bow := a.Bow
	rule, scale := bow.Ruler(), bow.Weigher()
	var points List
	if peak, known := a.Weighed.Get(); known {
		points = append(points, fmt.Sprintf("Drawn %s it weighed %s when it was finished.", rule.WithUnit(measure.Length(a.Draw)), scale.WithUnit(peak)))
	} else if f, ok := a.Weight.Get(); ok {
		points = append(points, fmt.Sprintf("Drawn %s, it is expected to weigh %s; nine times in ten between %s and %s.", rule.WithUnit(measure.Length(f.Draw)),
			scale.WithUnit(measure.Force(f.Force.Estimate)), scale.Print(measure.Force(f.Force.Low)), scale.WithUnit(measure.Force(f.Force.High))))
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
		points = append(points, fmt.Sprintf("Next pull: no farther than %s (%s).", rule.WithUnit(measure.Length(next.Draw)), next.Because))
	}
	if p, planned := a.Plan.Get(); planned && story.InHand && !a.Weighed.Known() && p.Line != "" {
		points = append(points, strings.TrimSuffix(p.Line, ".")+".")
	}
	points = append(points, a.Cautions...)
	if len(points) == 0 {
		return d
	}
	with := Document{Title: d.Title}
	told := false
	for _, block := range d.Blocks {
		if heading, isHeading := block.(Heading); isHeading && heading.Level == 2 && !told {
			with.add(Heading{2, "What the readings say"}, points)
			told = true
		}
		with.add(block)
	}
	return with
}
