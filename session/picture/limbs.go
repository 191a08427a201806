package picture

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// mostPasses is how many passes are drawn over each other: the newest ones, and the first for where it all began.
const mostPasses = 5

// Limbs is the bow as it hangs at the tree, both limbs, pass over pass in one pose. ok is false where no station was read.
func Limbs(story session.Story) (p Picture, ok bool) {
	pose, ok := hanging(story)
	if !ok {
		return Picture{}, false
	}
	bow := story.Bow()
	passes := passesIn(story, pose)
	p = Picture{Name: "limbs", Title: fmt.Sprintf("Both limbs, %s, %s, pass over pass", pose.Label(bow.Ruler()), pose.Datum())}
	where := alongOf(bow)
	c := chart{x: where.axis(), yDown: pose.From == model.FromLine}
	c.y.label = fmt.Sprintf("distance %s (%s)", pose.Datum(), bow.Units.Length)
	var all []float64
	for age := len(passes) - 1; age >= 0; age-- { // the newest is drawn last, over the others
		pass := passes[age]
		rows, _ := story.Passes[pass].Reading(pose)
		for i, side := range model.Sides {
			s := series{look: looks[age]}
			if i == 0 {
				s.name = fmt.Sprintf("pass %d", pass)
			}
			for i, at := range bow.Limbs[side].Stations {
				s.x = append(s.x, where.at(side, at))
				s.y = append(s.y, number(rows.At(side, i), bow.Units.Length))
			}
			all = append(all, s.y...)
			c.series = append(c.series, s)
		}
	}
	if half := (bow.Handle / 2).In(bow.Units.Length); pose.From == model.FromLine && half > 0 {
		c.series = append(c.series, series{name: "handle", x: []float64{-half, half}, y: []float64{0, 0}, look: look{class: "s5", width: 4}})
	}
	c.y.min, c.y.max = around(true, all...)
	p.chart = c
	p.Says = saysLimbs(story, pose, passes, c)
	p.Table.Head = []string{fmt.Sprintf("out from the handle (%s)", string(bow.Units.Length))}
	for _, pass := range passes {
		p.Table.Head = append(p.Table.Head, fmt.Sprintf("lower, pass %d", pass), fmt.Sprintf("upper, pass %d", pass))
	}
	for _, place := range session.Stations(bow) {
		row := []string{bow.Ruler().Print(place.At)}
		for _, pass := range passes {
			rows, _ := story.Passes[pass].Reading(pose)
			for _, side := range []model.Side{model.Lower, model.Upper} {
				row = append(row, session.SayReading(bow, rows.At(side, place.Index[side])))
			}
		}
		p.Table.Rows = append(p.Table.Rows, row)
	}
	return p, true
}

// hanging is the pose to draw: of those that the newest pass with readings was read in, the one that most passes share;
// to the line before to the string, drawn before braced, and the longer draw first.
func hanging(story session.Story) (best session.Pose, ok bool) {
	for n := len(story.Passes) - 1; n >= 0; n-- {
		poses := story.Passes[n].Poses()
		if len(poses) == 0 {
			continue
		}
		rank := func(p session.Pose) [4]float64 {
			r := [4]float64{0, 0, float64(len(passesIn(story, p))), float64(p.Draw)}
			if p.From == model.FromLine {
				r[0] = 1
			}
			if p.Kind == model.KindPull {
				r[1] = 1
			}
			return r
		}
		return slices.MaxFunc(poses, func(a, b session.Pose) int {
			ra, rb := rank(a), rank(b)
			return slices.Compare(ra[:], rb[:])
		}), true
	}
	return best, false
}

// passesIn are the passes to draw that were read in the pose, the newest first.
func passesIn(story session.Story, pose session.Pose) []int {
	var passes []int
	for n := len(story.Passes) - 1; n >= 0; n-- {
		if _, ok := story.Passes[n].Reading(pose); ok {
			passes = append(passes, n)
		}
	}
	if len(passes) > mostPasses {
		passes = append(passes[:mostPasses-1], passes[len(passes)-1])
	}
	return passes
}

// number is a length as a number of the unit; NaN where it was not read.
func number(l measure.Optional[measure.Length], unit measure.LengthUnit) float64 {
	if v, known := l.Get(); known {
		return v.In(unit)
	}
	return math.NaN()
}

func saysLimbs(story session.Story, pose session.Pose, passes []int, c chart) string {
	bow := story.Bow()
	var says strings.Builder
	says.WriteString(fmt.Sprintf("The belly of both limbs, %s, the lower limb to the left of the handle and the upper to the right, pass %d in the boldest line", pose.Label(bow.Ruler()), passes[0]))
	if len(passes) > 1 {
		says.WriteString(" " + fmt.Sprintf("over %s", passList(passes[1:])))
	}
	says.WriteString(". ")
	if stretch := (c.x.max - c.x.min) / (chartWidth - leftMargin - rightMargin) * plotHeight / (c.y.max - c.y.min); stretch > 1.2 {
		says.WriteString(fmt.Sprintf("Distances from the line are drawn about %.0f times as large as those along the bow.", math.Max(2, math.Round(stretch))) + " ")
	}
	rows, _ := story.Passes[passes[0]].Reading(pose)
	var apart []string
	for _, place := range session.Stations(bow) {
		if d, known := place.Difference(rows).Get(); known && bow.Ruler().Round(d) != 0 {
			apart = append(apart, fmt.Sprintf("%s at %s", bow.Ruler().PrintSigned(d), bow.Ruler().Print(place.At)))
		}
	}
	if len(apart) == 0 {
		says.WriteString("Wherever both limbs were read, they stand alike.")
	} else {
		widest := slices.MaxFunc(session.Stations(bow), func(a, b session.Station) int {
			return cmp.Compare(size(a.Difference(rows)), size(b.Difference(rows)))
		})
		says.WriteString(fmt.Sprintf("The upper limb's reading less the lower's is widest at %s: %s %s.", bow.Ruler().WithUnit(widest.At), bow.Ruler().PrintSigned(widest.Difference(rows).Or(0)), bow.Units.Length))
	}
	return says.String()
}

func size(d measure.Optional[measure.Length]) measure.Length { return max(d.Or(0), -d.Or(0)) }

// passList is "pass 0", or "passes 4, 3 and 0".
func passList(passes []int) string {
	said := make([]string, len(passes))
	for i, pass := range passes {
		said[i] = fmt.Sprint(pass)
	}
	last := len(said) - 1
	if last == 0 {
		return fmt.Sprintf("pass %s", said[0])
	}
	return fmt.Sprintf("passes %s and %s", strings.Join(said[:last], ", "), said[last])
}
