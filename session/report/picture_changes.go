package report

import (
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// changesPicture is what the picture of the limbs is too small to show: by how much each place hangs
// otherwise than in the oldest pass that is drawn there. ok is false where no pose was read in two passes.
func changesPicture(story session.Story, _ verdict.Advice) (p picture, ok bool) {
	pose, _ := hanging(story)
	passes := passesIn(story, pose)
	if len(passes) < 2 {
		return picture{}, false
	}
	bow := story.Bow()
	since, newer := passes[len(passes)-1], passes[:len(passes)-1]
	before, _ := story.Passes[since].Reading(pose)
	change := func(now model.Readings, side model.Side, i int) measure.Optional[measure.Length] {
		return moved(before.At(side, i), now.At(side, i))
	}
	c := chart{x: alongAxis(bow), yDown: pose.From == model.FromLine}
	c.y.label = fmt.Sprintf("change of the distance %s (%s)", pose.Datum(), bow.Units.Length)
	c.addPasses(story, pose, newer, change)
	none := series{x: []float64{c.x.min, c.x.max}, y: []float64{0, 0}, look: look{class: "axis", width: 0.8}}
	c.series = append(c.series, none)
	c.fitY(false)
	return picture{
		Name: "changes", Title: fmt.Sprintf("What changed since pass %d, %s", since, pose.Label(bow.Ruler())),
		Says:  sayChanges(story, pose, since, newer[0], change),
		Table: passesTable(story, pose, newer, change, bow.Ruler().PrintSigned), chart: c,
	}, true
}

func sayChanges(story session.Story, pose session.Pose, since, newest int, change reading) string {
	bow := story.Bow()
	rule := bow.Ruler()
	now, _ := story.Passes[newest].Reading(pose)
	var parts sentences
	for _, side := range model.Sides {
		var most measure.Optional[measure.Length]
		var at measure.Length
		for i, station := range bow.Limbs[side].Stations {
			if m := change(now, side, i); m.Known() && (!most.Known() || size(m) > size(most)) {
				most, at = m, station
			}
		}
		switch change, known := most.Get(); {
		case !known:
		case rule.Round(change) == 0:
			parts.addf("the %s limb hangs as it did", side)
		default:
			parts.addf("the %s limb's most at %s, %s", side, rule.WithUnit(at), signed(rule, change))
		}
	}
	sameDraw := ""
	if pose.Kind == model.KindPull {
		sameDraw = "at the same draw "
	}
	said := fmt.Sprintf("How the distances %s changed %sfrom pass %d to pass %d",
		pose.Datum(), sameDraw, since, newest)
	if len(parts) > 0 {
		said += ": " + strings.Join(parts, "; ")
	}
	said += "."
	if step := bow.Rule; step > 0 {
		if rule.Step != step { // it is shown in a unit that the rule is not cut in
			rule = bow.Calliper()
		}
		said += fmt.Sprintf(" A mark of the rule, %s, is within the error of reading.", rule.WithUnit(step))
	}
	return said
}
