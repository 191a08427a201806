package picture

import (
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// Changes is what the picture of the limbs is too small to show: by how much each place hangs otherwise than in the oldest pass
// that is drawn there. ok is false where one pose was not read in two passes.
func Changes(story session.Story) (p Picture, ok bool) {
	pose, ok := hanging(story)
	if !ok {
		return Picture{}, false
	}
	passes := passesIn(story, pose)
	if len(passes) < 2 {
		return Picture{}, false
	}
	bow := story.Bow()
	since, newer := passes[len(passes)-1], passes[:len(passes)-1]
	p = Picture{Name: "changes", Title: fmt.Sprintf("What changed since pass %d, %s", since, pose.Label(bow.Ruler()))}
	where := alongOf(bow)
	c := chart{x: where.axis(), yDown: pose.From == model.FromLine}
	c.y.label = fmt.Sprintf("change of the distance %s (%s)", pose.Datum(), bow.Units.Length)
	p.Table.Head = []string{fmt.Sprintf("out from the handle (%s)", string(bow.Units.Length))}
	rows := make([][]string, len(session.Stations(bow)))
	for i, place := range session.Stations(bow) {
		rows[i] = []string{bow.Ruler().Print(place.At)}
	}
	before, _ := story.Passes[since].Reading(pose)
	var all []float64
	for age := len(newer) - 1; age >= 0; age-- {
		rows, _ := story.Passes[newer[age]].Reading(pose)
		for i, side := range model.Sides {
			s := series{look: looks[age]}
			if i == 0 {
				s.name = fmt.Sprintf("pass %d", newer[age])
			}
			for i, at := range bow.Limbs[side].Stations {
				s.x = append(s.x, where.at(side, at))
				s.y = append(s.y, number(moved(before.At(side, i), rows.At(side, i)), bow.Units.Length))
			}
			all = append(all, s.y...)
			c.series = append(c.series, s)
		}
	}
	c.series = append(c.series, series{x: []float64{c.x.min, c.x.max}, y: []float64{0, 0}, look: look{class: "axis", width: 0.8}})
	c.y.min, c.y.max = around(false, append(all, 0)...)
	for _, pass := range newer {
		now, _ := story.Passes[pass].Reading(pose)
		for _, side := range []model.Side{model.Lower, model.Upper} {
			p.Table.Head = append(p.Table.Head, fmt.Sprintf("%s, pass %d", side, pass))
			for i, place := range session.Stations(bow) {
				cell := "-"
				if change, known := moved(before.At(side, place.Index[side]), now.At(side, place.Index[side])).Get(); known {
					cell = bow.Ruler().PrintSigned(change)
				}
				rows[i] = append(rows[i], cell)
			}
		}
	}
	p.Table.Rows, p.chart = rows, c
	p.Says = saysChanges(story, pose, since, newer[0])
	return p, true
}

// moved is by how much a reading is greater now; unread where either is.
func moved(before, now measure.Optional[measure.Length]) measure.Optional[measure.Length] {
	a, aKnown := before.Get()
	b, bKnown := now.Get()
	if !aKnown || !bKnown {
		return measure.Optional[measure.Length]{}
	}
	return measure.Some(b - a)
}

func saysChanges(story session.Story, pose session.Pose, since, newest int) string {
	bow := story.Bow()
	before, _ := story.Passes[since].Reading(pose)
	now, _ := story.Passes[newest].Reading(pose)
	var parts []string
	for _, side := range model.Sides {
		var most measure.Optional[measure.Length]
		var at measure.Length
		for i, station := range bow.Limbs[side].Stations {
			if m := moved(before.At(side, i), now.At(side, i)); m.Known() && (!most.Known() || size(m) > size(most)) {
				most, at = m, station
			}
		}
		switch change, known := most.Get(); {
		case !known:
		case bow.Ruler().Round(change) == 0:
			parts = append(parts, fmt.Sprintf("the %s limb hangs as it did", side))
		default:
			parts = append(parts, fmt.Sprintf("the %s limb's most at %s, %s %s", side, bow.Ruler().WithUnit(at), bow.Ruler().PrintSigned(change), bow.Units.Length))
		}
	}
	said := fmt.Sprintf("How the distances %s changed from pass %d to pass %d", pose.Datum(), since, newest)
	if pose.Kind == model.KindPull {
		said = fmt.Sprintf("How the distances %s changed at the same draw from pass %d to pass %d", pose.Datum(), since, newest)
	}
	if len(parts) > 0 {
		said += ": " + strings.Join(parts, "; ")
	}
	said += "."
	if step := bow.Rule; step > 0 {
		mark := bow.Ruler()
		if mark.Step != step { // it is shown in a unit that the rule is not cut in
			mark = bow.Calliper()
		}
		said += " " + fmt.Sprintf("A mark of the rule, %s, is within the error of reading.", mark.WithUnit(step))
	}
	return said
}
