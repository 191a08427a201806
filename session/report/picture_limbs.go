package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// overlay is the readings in one pose, pass over pass.
type overlay struct {
	story  session.Story
	bow    model.Bow
	pose   session.Pose
	passes []int // the newest first
	shown  func(rows model.Readings, side model.Side, i int) measure.Optional[measure.Length]
}

// hanging picks the pose to draw from those of the newest pass with readings: to the line before to the
// string, then drawn before braced, then the one that most passes share, then the longer draw.
func hanging(story session.Story) (best overlay, ok bool) {
	o := overlay{story: story, bow: story.Bow(), shown: model.Readings.At}
	var bestRank []float64
	for _, pass := range slices.Backward(story.Passes) {
		for _, pose := range pass.Poses() {
			o.pose, o.passes = pose, passesIn(story, pose)
			rank := []float64{0, 0, float64(len(o.passes)), float64(pose.Draw)}
			if pose.From == model.FromLine {
				rank[0] = 1
			}
			if pose.Kind == model.KindPull {
				rank[1] = 1
			}
			if slices.Compare(rank, bestRank) > 0 {
				best, bestRank = o, rank
			}
		}
		if bestRank != nil {
			return best, true
		}
	}
	return best, false
}

// passesIn returns the passes to draw in a pose: the four newest, newest first, and the oldest.
func passesIn(story session.Story, pose session.Pose) []int {
	const most = 5
	var passes []int
	for n, pass := range slices.Backward(story.Passes) {
		if _, ok := pass.Reading(pose); ok {
			passes = append(passes, n)
		}
	}
	if len(passes) > most {
		passes = append(passes[:most-1], passes[len(passes)-1])
	}
	return passes
}

func (o overlay) read(pass int) model.Readings {
	rows, _ := o.story.Passes[pass].Reading(o.pose)
	return rows
}

// chart has a line for each limb and pass; the newest is drawn last, over the others.
func (o overlay) chart(what string) chart {
	unit := o.bow.Units.Length
	c := chart{x: alongAxis(o.bow), yDown: o.pose.From == model.FromLine}
	c.y.label = fmt.Sprintf("%s %s (%s)", what, o.pose.Datum(), unit)
	for age, pass := range slices.Backward(o.passes) {
		rows := o.read(pass)
		for _, side := range model.Sides {
			s := series{look: looks[age]}
			if side == model.Upper {
				s.name = fmt.Sprintf("pass %d", pass)
			}
			for i, at := range o.bow.Limbs[side].Stations {
				s.add(along(o.bow, side, at), o.shown(rows, side, i).Or(measure.Length(math.NaN())).In(unit))
			}
			c.series = append(c.series, s)
		}
	}
	return c
}

// table has a row for each station, and a column for each limb and pass.
func (o overlay) table(say func(measure.Length) string) table {
	t := table{Head: []string{fmt.Sprintf("out from the handle (%s)", o.bow.Units.Length)}}
	stations := session.Stations(o.bow)
	for _, at := range stations {
		t.Rows = append(t.Rows, []string{o.bow.Ruler().Print(at.At)})
	}
	for _, pass := range o.passes {
		rows := o.read(pass)
		for _, side := range []model.Side{model.Lower, model.Upper} {
			t.Head = append(t.Head, fmt.Sprintf("%s, pass %d", side, pass))
			for i, at := range stations {
				t.Rows[i] = append(t.Rows[i], dashed(o.shown(rows, side, at.Index[side]), say))
			}
		}
	}
	return t
}

// limbsPicture is the bow as it hangs at the tree, both limbs, pass over pass in one pose.
func limbsPicture(story session.Story, _ verdict.Advice) (p picture, ok bool) {
	o, ok := hanging(story)
	if !ok {
		return picture{}, false
	}
	rule := o.bow.Ruler()
	c := o.chart("distance")
	if half := (o.bow.Handle / 2).In(rule.Unit); o.pose.From == model.FromLine && half > 0 {
		c.series = append(c.series, series{
			name: "handle", x: []float64{-half, half}, y: []float64{0, 0}, look: look{class: "s5", width: 4},
		})
	}
	c.fitY(true)
	title := fmt.Sprintf("Both limbs, %s, %s, pass over pass", o.pose.Label(rule), o.pose.Datum())
	return picture{"limbs", title, o.sayHanging(c), o.table(rule.Print), c}, true
}

func (o overlay) sayHanging(c chart) string {
	rule := o.bow.Ruler()
	says := fmt.Sprintf("The belly of both limbs, %s: the lower left of the handle, the upper right. Boldest is "+
		"pass %d", o.pose.Label(rule), o.passes[0])
	switch last := len(o.passes) - 1; last {
	case 0:
	case 1:
		says += fmt.Sprintf(", over pass %d", o.passes[1])
	default:
		older := strings.Trim(strings.ReplaceAll(fmt.Sprint(o.passes[1:last]), " ", ", "), "[]")
		says += fmt.Sprintf(", over passes %s and %d", older, o.passes[last])
	}
	says += ". "
	across := (c.x.max - c.x.min) / (plotRight - plotLeft)
	if stretch := across * plotHeight / (c.y.max - c.y.min); stretch > 1.2 {
		says += fmt.Sprintf("Distances from the line are drawn about %.0f times too large. ",
			math.Max(2, math.Round(stretch)))
	}
	var apart, at measure.Length
	for _, station := range session.Stations(o.bow) {
		if d := station.Difference(o.read(o.passes[0])); size(d) > max(apart, -apart) {
			apart, at = d.Or(0), station.At
		}
	}
	if rule.Round(apart) == 0 {
		return says + "Both limbs read the same."
	}
	return says + fmt.Sprintf("Upper − lower is largest at %s: %s.",
		rule.WithUnit(at), signed(rule, apart))
}
