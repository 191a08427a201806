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
	c := chart{equal: true, yDown: true, x: axis{ticks: []tick{}}, y: axis{ticks: []tick{}}}
	relaxed := a.Follow.Known()
	if relaxed {
		dotted := look{class: "s2", width: 1.4, dash: "1.5 4"}
		c.series = append(c.series, silhouette(bow, "unstrung", braced, true, dotted))
	}
	thread := look{class: "s5", width: 0.8}
	for _, of := range []struct {
		name  string
		limbs [2]estimate.Belly
		drawn bool
		look  look
	}{
		{"braced", braced, false, look{class: "s1", width: 1.8, dash: "7 4"}},
		{"drawn " + draw, drawn, true, look{class: "s0", width: 3}},
	} {
		s := silhouette(bow, of.name, of.limbs, false, of.look)
		last := len(s.x) - 1
		c.series = append(c.series, s)
		line := series{look: thread, x: []float64{s.x[0], s.x[last]}, y: []float64{s.y[0], s.y[last]}}
		if of.drawn {
			hook := measure.Length(a.Draw).In(rule.Unit)
			line.x, line.y = slices.Insert(line.x, 1, 0), slices.Insert(line.y, 1, hook)
		}
		c.series = append(c.series, line)
	}
	half := (bow.Handle / 2).In(rule.Unit)
	handle := look{class: "s5", width: 5}
	c.series = append(c.series, series{x: []float64{-half, half}, y: []float64{0, 0}, look: handle})
	c.x.min = along(bow, model.Lower, bow.Limbs[model.Lower].Length)
	c.x.max = along(bow, model.Upper, bow.Limbs[model.Upper].Length)
	c.fitY(true)
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
