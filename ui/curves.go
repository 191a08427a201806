package ui

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/ui/graph"
	"bendbook/ui/look"
)

// curves says what a picture of a bow's limbs shows.
type curves struct {
	story session.Story
	pose  session.Pose
	// passes are shown over each other, the newest first, three at the most.
	passes []int
}

// plot is the picture as the bow hangs at the tree: the lower limb to the left, the upper to the right.
// Towards the line a reading grows downward; towards the string, which lies straight below, a gap grows
// upward.
func (c curves) plot(s look.Styles, width, height int) graph.Plot {
	p := c.axes(s, width, height)
	p.Y, p.YDown = graph.Range{Min: 0, Max: 1}, c.pose.From == model.FromLine
	p.YLabel, p.YSteps = c.scale()
	for age, pass := range slices.Backward(c.passes) {
		for _, side := range model.Sides {
			stations := c.story.Bow().Limbs[side].Stations
			p.Series = append(p.Series, line(c, s.Pass(age), side, stations, c.values(pass, side)))
		}
	}
	above, known := 0.0, true
	if c.pose.From == model.FromString {
		above, known = c.braceHeight()
	}
	if known {
		p.Series = append(p.Series, c.handle(s, above))
	}
	return p
}

// axes is a plot without curves. Its horizontal axis is in inches from the middle of the handle; the
// outermost stations are named first, since they must be seen.
func (c curves) axes(s look.Styles, width, height int) graph.Plot {
	bow := c.story.Bow()
	p := graph.Plot{Width: width, Height: height, Axis: s.Quiet}
	for _, side := range model.Sides {
		end := c.place(side, bow.Limbs[side].Length)
		p.X = graph.Range{Min: min(p.X.Min, end), Max: max(p.X.Max, end)}
	}
	for i := len(bow.Limbs[model.Upper].Stations) + len(bow.Limbs[model.Lower].Stations); i >= 0; i-- {
		for _, side := range model.Sides {
			if stations := bow.Limbs[side].Stations; i < len(stations) {
				p.XTicks = append(p.XTicks, graph.Tick{At: c.place(side, stations[i]),
					Label: bow.Ruler().Short(stations[i])})
			}
		}
	}
	return p
}

// place is where a station stands on the horizontal axis.
func (c curves) place(side model.Side, at measure.Length) float64 {
	out := float64(c.story.Bow().Handle/2 + at)
	if side == model.Lower {
		return -out
	}
	return out
}

// line is a curve over places of a limb; one that has no value is missing.
func line[T ~float64](c curves, pen graph.Pen, side model.Side, places []T, values []float64) graph.Series {
	series := graph.Series{Pen: pen}
	for i, at := range places {
		series.X = append(series.X, c.place(side, measure.Length(at)))
		series.Y = append(series.Y, math.NaN())
		if i < len(values) {
			series.Y[i] = values[i]
		}
	}
	return series
}

// scale is how the vertical axis is labelled and in which steps.
func (c curves) scale() (label func(float64) string, steps []float64) {
	rule := c.story.Bow().Ruler()
	label = func(v float64) string { return rule.Print(measure.Length(v)) }
	if rule.Unit == measure.Inch {
		return label, []float64{0.25, 0.5, 1, 2, 3, 6, 12}
	}
	for _, step := range []float64{1, 2, 5, 10, 20, 50, 100} {
		steps = append(steps, step*float64(rule.Unit.Length(1)))
	}
	return label, steps
}

// values are a limb's readings at its stations; NaN where there is none.
func (c curves) values(pass int, side model.Side) []float64 {
	var values []float64
	rows, _ := c.story.Passes[pass].Reading(c.pose)
	for _, reading := range rows[side] {
		values = append(values, float64(reading.Or(measure.Length(math.NaN()))))
	}
	return values
}

// braceHeight is the height of the newest pass, read last; known is false on a long string.
func (c curves) braceHeight() (height float64, known bool) {
	braced := c.story.Passes[c.passes[0]].Braced
	if c.pose.Long || len(braced) == 0 {
		return 0, false
	}
	l, known := braced[len(braced)-1].Height.Get()
	return float64(l), known
}

// handle is the part of the bow that does not bend, drawn at y.
func (c curves) handle(s look.Styles, y float64) graph.Series {
	half := float64(c.story.Bow().Handle) / 2
	return graph.Series{X: []float64{-half, half}, Y: []float64{y, y}, Pen: s.Handle()}
}

func (c curves) legend(s look.Styles) string {
	var parts []string
	for age, pass := range c.passes {
		parts = append(parts, s.Pass(age).Key()+fmt.Sprintf(" pass %d", pass))
	}
	return strings.Join(parts, "  ")
}

// withPose returns up to most passes with a reading in the pose, from pass number from down.
func withPose(story session.Story, pose session.Pose, from, most int) []int {
	var passes []int
	for n := min(from, len(story.Passes)-1); n >= 0 && len(passes) < most; n-- {
		if _, ok := story.Passes[n].Reading(pose); ok {
			passes = append(passes, n)
		}
	}
	return passes
}
