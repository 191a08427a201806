package report

import (
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// shapePicture is the bow in true proportion by the estimate: unstrung, braced and at full draw.
func shapePicture(_ session.Story, a verdict.Advice) (p picture, ok bool) {
	braced, drawn, ok := a.Shapes()
	if !ok {
		return picture{}, false
	}
	bow, rule := a.Bow, a.Bow.Ruler()
	draw := rule.WithUnit(measure.Length(a.Draw))
	c := chart{equal: true, yDown: true}
	relaxed := a.Follow.Known()
	if relaxed {
		c.series = append(c.series, silhouette(bow, "unstrung", braced, true, dottedLine))
	}
	c.pose(bow, "braced", braced, dashedLine)
	c.pose(bow, "drawn "+draw, drawn, look{class: "s0", width: 3}, a.Draw)
	c.handle(bow)
	c.x.label = "lower limb to the left, upper to the right"
	tip := func(side model.Side) string {
		across := drawn[side].Across
		return rule.WithUnit(measure.Length(across[len(across)-1]))
	}
	says := fmt.Sprintf("The belly of both limbs in true proportion, as the readings make it. Drawn %s, "+
		"the upper nock comes back %s and the lower %s.", draw, tip(model.Upper), tip(model.Lower))
	if !relaxed {
		says += " It wasn't read unstrung."
	}
	table := shapeTable(bow, braced, drawn)
	return picture{"shape", "How does it bend, braced and drawn?", says, table, c}, true
}

// bracedMark is the braced bow with its string in true proportion, without words, for a card; nil before it
// can be told.
func bracedMark(a verdict.Advice) *picture {
	braced, _, ok := a.Shapes()
	if !ok {
		return nil
	}
	c := chart{equal: true, yDown: true}
	c.pose(a.Bow, "", braced, solidLine)
	c.handle(a.Bow)
	return &picture{chart: c}
}

// pose adds the bow's belly and its string, which a hook may draw.
func (c *chart) pose(bow model.Bow, name string, limbs [2]estimate.Belly, l look, hook ...float64) {
	s := silhouette(bow, name, limbs, false, l)
	last := len(s.x) - 1
	line := series{look: look{class: "s5", width: 0.8}}
	line.add(s.x[0], s.y[0])
	for _, draw := range hook {
		line.add(0, measure.Length(draw).In(bow.Units.Length))
	}
	line.add(s.x[last], s.y[last])
	c.series = append(c.series, s, line)
}

// handle adds the handle to the poses, and makes the axes hold all.
func (c *chart) handle(bow model.Bow) {
	half := (bow.Handle / 2).In(bow.Units.Length)
	line := series{x: []float64{-half, half}, y: []float64{0, 0}, look: look{class: "s5", width: 5}}
	c.series = append(c.series, line)
	c.x, c.y.ticks = alongAxis(bow), []tick{}
	c.x.ticks, c.x.label = []tick{}, ""
	c.fitY(true)
}

// silhouette is the belly from the lower nock to the upper, as drawn or unstrung.
func silhouette(bow model.Bow, name string, limbs [2]estimate.Belly, relaxed bool, l look) series {
	s := series{name: name, look: l}
	in := func(v float64) float64 { return measure.Length(v).In(bow.Units.Length) }
	half := float64(bow.Handle / 2)
	for _, side := range []model.Side{model.Lower, model.Upper} {
		limb, far, sign := limbs[side], half, 1.0
		x, y := slices.Clone(limb.Along), slices.Clone(limb.Across)
		for i := range x {
			if relaxed { // only how far it is from the line is known; along the limb it is as long as ever
				if y[i] = limb.Relaxed[i]; i > 0 {
					out, across := limb.At[i]-limb.At[i-1], y[i]-y[i-1]
					far += math.Sqrt(max(0, out*out-across*across))
				}
				x[i] = far
			}
		}
		if side == model.Lower {
			slices.Reverse(x)
			slices.Reverse(y)
			sign = -1
		}
		for i := range x {
			s.add(sign*in(x[i]), in(y[i]))
		}
	}
	return s
}

// shapeTable has how far each place stands from the line.
func shapeTable(bow model.Bow, braced, drawn [2]estimate.Belly) table {
	rule := bow.Ruler()
	t := table{Head: []string{"limb", fmt.Sprintf("out from the handle (%s)", rule.Unit),
		"unstrung", "braced", "drawn"}}
	for _, side := range model.Sides {
		for i, at := range braced[side].At {
			t.Rows = append(t.Rows, []string{side.String(), rule.Print(measure.Length(at)),
				rule.Print(measure.Length(braced[side].Relaxed[i])), rule.Print(measure.Length(braced[side].Across[i])),
				rule.Print(measure.Length(drawn[side].Across[i]))})
		}
	}
	return t
}

// sectionPicture is width and thickness at the stations where both were measured.
func sectionPicture(_ session.Story, a verdict.Advice) (p picture, ok bool) {
	bow, calliper := a.Bow, a.Bow.Calliper()
	c := chart{low: true, x: alongAxis(bow)}
	c.y.label = fmt.Sprintf("width and thickness (%s)", bow.Units.Length)
	wide := series{name: "width", look: solidLine.marked(disc)}
	thick := series{name: "thickness", look: dashedLine.marked(ring)}
	t := table{Head: []string{"limb", fmt.Sprintf("out from the handle (%s)", bow.Units.Length),
		fmt.Sprintf("width (%s)", calliper.Unit), "thickness"}}
	for _, side := range model.Sides {
		limb := bow.Limbs[side]
		for i, at := range limb.Stations[:min(len(limb.Widths), len(limb.Depths), len(limb.Stations))] {
			width, depth := limb.Widths[i], limb.Depths[i]
			if !width.Known() || !depth.Known() {
				continue
			}
			x := along(bow, side, at)
			wide.add(x, width.Or(0).In(bow.Units.Length))
			thick.add(x, depth.Or(0).In(bow.Units.Length))
			t.Rows = append(t.Rows, []string{side.String(), bow.Ruler().Print(at),
				known(width, calliper.Print), known(depth, calliper.Print)})
		}
		wide.add(0, math.NaN()) // the handle parts the limbs
		thick.add(0, math.NaN())
	}
	c.series = []series{wide, thick}
	c.fitY(true)
	says := "Width and thickness at the stations, as last measured."
	return picture{"section", "How wide and how thick is it?", says, t, c}, len(t.Rows) > 0
}
