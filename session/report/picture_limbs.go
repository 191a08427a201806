package report

import (
	"fmt"
	"math"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// limbsPicture is the bow as it hangs at the tree, both limbs, pass over pass in one pose.
func limbsPicture(story session.Story, _ verdict.Advice) (p picture, ok bool) {
	pose, ok := hanging(story)
	if !ok {
		return picture{}, false
	}
	bow := story.Bow()
	passes := passesIn(story, pose)
	c := chart{x: alongAxis(bow), yDown: pose.From == model.FromLine}
	c.y.label = fmt.Sprintf("distance %s (%s)", pose.Datum(), bow.Units.Length)
	c.addPasses(story, pose, passes, model.Readings.At)
	if half := (bow.Handle / 2).In(bow.Units.Length); pose.From == model.FromLine && half > 0 {
		c.series = append(c.series, series{
			name: "handle", x: []float64{-half, half}, y: []float64{0, 0}, look: look{class: "s5", width: 4},
		})
	}
	c.fitY(true)
	return picture{
		Name:  "limbs",
		Title: fmt.Sprintf("Both limbs, %s, %s, pass over pass", pose.Label(bow.Ruler()), pose.Datum()),
		Says:  sayHanging(story, pose, passes, c),
		Table: passesTable(story, pose, passes, model.Readings.At, bow.Ruler().Print), chart: c,
	}, true
}

func sayHanging(story session.Story, pose session.Pose, passes []int, c chart) string {
	bow := story.Bow()
	rule := bow.Ruler()
	says := fmt.Sprintf("The belly of both limbs, %s, the lower limb to the left of the handle "+
		"and the upper to the right, pass %d in the boldest line", pose.Label(rule), passes[0])
	switch last := len(passes) - 1; last {
	case 0:
	case 1:
		says += fmt.Sprintf(" over pass %d", passes[1])
	default:
		older := strings.Trim(strings.ReplaceAll(fmt.Sprint(passes[1:last]), " ", ", "), "[]")
		says += fmt.Sprintf(" over passes %s and %d", older, passes[last])
	}
	says += ". "
	across := (c.x.max - c.x.min) / (plotRight - plotLeft)
	if stretch := across * plotHeight / (c.y.max - c.y.min); stretch > 1.2 {
		says += fmt.Sprintf("Distances from the line are drawn about %.0f times as large as those along the bow. ",
			math.Max(2, math.Round(stretch)))
	}
	rows, _ := story.Passes[passes[0]].Reading(pose)
	var apart, at measure.Length
	for _, station := range session.Stations(bow) {
		if d := station.Difference(rows); size(d) > max(apart, -apart) {
			apart, at = d.Or(0), station.At
		}
	}
	if rule.Round(apart) == 0 {
		return says + "Wherever both limbs were read, they stand alike."
	}
	return says + fmt.Sprintf("The upper limb's reading less the lower's is widest at %s: %s.",
		rule.WithUnit(at), signed(rule, apart))
}

// changesPicture is by how much each place hangs otherwise than in the oldest pass that limbsPicture draws.
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
	c.level("", 0, look{class: "axis", width: 0.8})
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
		moved := func(i int) measure.Optional[measure.Length] { return change(now, side, i) }
		at, most := mostMoved(bow, side, moved)
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
	if bow.Rule <= 0 {
		return said + "."
	}
	if rule.Step != bow.Rule { // it is shown in a unit that the rule is not cut in
		rule = bow.Calliper()
	}
	mark := rule.WithUnit(bow.Rule)
	return said + fmt.Sprintf(". A mark of the rule, %s, is within the error of reading.", mark)
}
