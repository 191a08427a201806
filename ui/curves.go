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
	// passes are the passes shown over each other, the newest first, three at the most. Those without a reading in
	// the pose show nothing.
	passes []int
	bend   bool // the bend at the stations instead of the readings
	laid   bool // the lower limb laid over the upper one, of the first pass alone
}

// plot is the picture as the bow hangs at the tree: the lower limb to the left of the handle, the upper to the right.
// Towards the line a reading grows downward; towards the string, which lies straight below, a gap grows upward.
func (c curves) plot(s look.Styles, width, height int) graph.Plot {
	bow := c.story.Bow()
	p := graph.Plot{
		Width: width, Height: height, ASCII: s.ASCII, Axis: s.Quiet, X: c.across(bow), XTicks: c.ticks(bow),
		YDown: c.pose.From == model.FromLine && !c.bend,
	}
	p.YLabel, p.YSteps = c.scale(bow)
	if !c.bend {
		p.Y = graph.Range{Min: 0, Max: 1}
	}
	if c.laid {
		for _, side := range []model.Side{model.Lower, model.Upper} {
			p.Series = append(p.Series, c.series(bow, c.passes[0], side, s.Limb(int(side))))
		}
		return p
	}
	for age := len(c.passes) - 1; age >= 0; age-- {
		for _, side := range model.Sides {
			p.Series = append(p.Series, c.series(bow, c.passes[age], side, s.Pass(age)))
		}
	}
	if handle, ok := c.handle(bow, s); ok {
		p.Series = append(p.Series, handle)
	}
	return p
}

// across is the range of the horizontal axis, in inches from the middle of the handle, or from the root where the
// limbs are laid over each other.
func (c curves) across(bow model.Bow) graph.Range {
	upper, lower := float64(bow.Limbs[model.Upper].Length), float64(bow.Limbs[model.Lower].Length)
	if c.laid {
		return graph.Range{Min: 0, Max: max(upper, lower)}
	}
	half := float64(bow.Handle) / 2
	return graph.Range{Min: -half - lower, Max: half + upper}
}

// place is where a station stands on the horizontal axis.
func (c curves) place(bow model.Bow, side model.Side, at measure.Length) float64 {
	switch {
	case c.laid:
		return float64(at)
	case side == model.Lower:
		return -float64(bow.Handle)/2 - float64(at)
	}
	return float64(bow.Handle)/2 + float64(at)
}

// ticks name the stations by their distance from the handle, the outermost first, since those must be seen.
func (c curves) ticks(bow model.Bow) []graph.Tick {
	var ticks []graph.Tick
	sides := model.Sides[:]
	if c.laid {
		sides = sides[:1]
	}
	for i := len(bow.Limbs[model.Upper].Stations) + len(bow.Limbs[model.Lower].Stations); i >= 0; i-- {
		for _, side := range sides {
			if stations := bow.Limbs[side].Stations; i < len(stations) {
				ticks = append(ticks, graph.Tick{At: c.place(bow, side, stations[i]), Label: bow.Ruler().Short(stations[i])})
			}
		}
	}
	return ticks
}

// scale is how the vertical axis is labelled and in which steps.
func (c curves) scale(bow model.Bow) (label func(float64) string, steps []float64) {
	if c.bend {
		steps := []float64{0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1}
		for i := range steps {
			steps[i] *= bendLength(bow).PerInch()
		}
		return func(v float64) string { return sayBend(bow, v) }, steps
	}
	rule := bow.Ruler()
	label = func(v float64) string { return rule.Print(measure.Length(v)) }
	if rule.Unit != measure.Inch {
		return label, inches(rule.Unit, 1, 2, 5, 10, 20, 50, 100)
	}
	return label, []float64{0.25, 0.5, 1, 2, 3, 6, 12}
}

func inches(unit measure.LengthUnit, steps ...float64) []float64 {
	out := make([]float64, len(steps))
	for i, step := range steps {
		out[i] = float64(unit.Length(step))
	}
	return out
}

// sayBend is a bend, given in 1/in, in thousandths per inch, or per centimetre for a bow in metric units.
func sayBend(bow model.Bow, v float64) string {
	return fmt.Sprintf("%.0f", 1000*v/bendLength(bow).PerInch())
}

// bendLength is the length over which a bow's bend is told.
func bendLength(bow model.Bow) measure.LengthUnit {
	if bow.Units.Length == measure.Inch {
		return measure.Inch
	}
	return measure.Centimetre
}

// drawn is a curve without readings, in the pen's look.
func drawn(pen look.Pen) graph.Series {
	return graph.Series{Stroke: pen.Stroke, Point: pen.Point, Style: pen.Style}
}

func (c curves) series(bow model.Bow, pass int, side model.Side, pen look.Pen) graph.Series {
	series := drawn(pen)
	values := c.values(pass, side)
	for i, at := range bow.Limbs[side].Stations {
		v := math.NaN()
		if i < len(values) {
			v = values[i]
		}
		series.X = append(series.X, c.place(bow, side, at))
		series.Y = append(series.Y, v)
	}
	return series
}

// values are a limb's readings, or its bend, at its stations; NaN where there is none.
func (c curves) values(pass int, side model.Side) []float64 {
	var values []float64
	if c.bend {
		bend, _ := c.story.BendOf(pass, c.pose)
		for _, b := range bend[side] {
			values = append(values, b.Or(math.NaN()))
		}
		return values
	}
	rows, _ := c.story.Passes[pass].Reading(c.pose)
	for _, reading := range rows[side] {
		values = append(values, float64(reading.Or(measure.Length(math.NaN()))))
	}
	return values
}

// any says whether there is anything to draw.
func (c curves) any() bool {
	for _, pass := range c.passes {
		for _, side := range model.Sides {
			if slices.ContainsFunc(c.values(pass, side), func(v float64) bool { return !math.IsNaN(v) }) {
				return true
			}
		}
	}
	return false
}

// handle is the part of the bow that does not bend: on the line, or at brace height above the string.
func (c curves) handle(bow model.Bow, s look.Styles) (graph.Series, bool) {
	if c.bend {
		return graph.Series{}, false
	}
	y := 0.0
	if c.pose.From == model.FromString {
		braced := c.story.Passes[c.passes[0]].Braced
		if len(braced) == 0 {
			return graph.Series{}, false
		}
		height, known := braced[len(braced)-1].Height.Get()
		if !known {
			return graph.Series{}, false
		}
		y = float64(height)
	}
	half, series := float64(bow.Handle)/2, drawn(s.Handle())
	series.X, series.Y = []float64{-half, half}, []float64{y, y}
	return series, true
}

// legend tells the curves apart in words.
func (c curves) legend(s look.Styles) string {
	var parts []string
	add := func(pen look.Pen, name string) { parts = append(parts, drawn(pen).Key(s.ASCII)+" "+name) }
	if c.laid {
		for _, side := range model.Sides {
			add(s.Limb(int(side)), side.String())
		}
	} else {
		for age, pass := range c.passes {
			add(s.Pass(age), fmt.Sprintf("pass %d", pass))
		}
	}
	return strings.Join(parts, "  ")
}

// withPose are up to most passes that have a reading in the pose, from pass number from backwards.
func withPose(story session.Story, pose session.Pose, from, most int) []int {
	var passes []int
	for n := min(from, len(story.Passes)-1); n >= 0 && len(passes) < most; n-- {
		if _, ok := story.Passes[n].Reading(pose); ok {
			passes = append(passes, n)
		}
	}
	return passes
}
