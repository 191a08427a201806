package ui

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session/verdict"
	"bendbook/ui/graph"
	"bendbook/ui/look"
)

// How the plan is drawn: what to do in words; both limbs with the bend now, after and wanted, what comes off
// under them; the stretches in numbers; and what the bow is and would be.

// fit implements screen: what was worked out meanwhile is taken up here, after each key and message.
func (t *planScreen) fit(int, int) { t.refresh() }

func (t *planScreen) view(width, height int) string {
	s := t.desk.Styles
	p, ok := t.plan.Get()
	if !ok {
		text := t.of.advice.NoPlan
		if !t.of.fresh() {
			text = "The plan is being worked out."
		}
		return "\n  " + strings.Join(wrapped(text, max(10, width-4), 6), "\n  ")
	}
	lines := t.head(p, width, height)
	middle := height - len(lines) - planFoot
	table := t.table(p, width)
	table.lines = scrolled(table.lines, t.row-middle/2+1, middle)
	const gap = 2
	room := width - table.width - gap
	picture := t.picture(p, room, middle)
	lines = append(lines, lengthen(strings.Split(beside(gap, block{room, picture}, table), "\n"), middle)...)
	lines = append(lines, s.Accent.Render(ansi.Truncate(t.detail(p, width), width, "~")))
	lines = append(lines, t.outcome(p, width)...)
	return strings.Join(lines, "\n")
}

// head is what the plan says first; where there is room all that it says, and what the last scrapings took.
func (t *planScreen) head(p verdict.Plan, width, height int) []string {
	lines := styled(verdictStyle(t.desk.Styles, p), p.Says[0], width, 2)
	if height < 30 {
		return lines
	}
	// What the weight wanted is made up of stands at the foot.
	for _, text := range append(slices.Clone(p.Says[1:]), t.of.advice.SaysCameOff()...) {
		if more := wrapped(text, width, 2); text != p.Wish && len(lines)+len(more) <= height/4 {
			lines = append(lines, more...)
		}
	}
	return lines
}

func (t *planScreen) picture(p verdict.Plan, width, height int) []string {
	s := t.desk.Styles
	if height < 6 || width < 20 {
		return nil
	}
	names := []string{key(s, bare(s.Pass(2)), "now"), key(s, bare(s.Pass(0)), "after"),
		key(s, bare(s.Pass(1)), "aim")}
	caption := strings.Join(names, "  ")
	if ansi.StringWidth(caption) > width {
		caption = strings.Join(names, " ")
	}
	unit := fmt.Sprintf("  bend, 1/1000 per %s", bendLength(t.of.bow()))
	if ansi.StringWidth(caption+unit) <= width {
		caption += unit
	}
	off := t.offPlot(p, width, max(4, (height-1)*2/5))
	bend := t.bendPlot(width, height-1-off.Height)
	off.LabelWidth, bend.LabelWidth = 4, 4
	lines := append([]string{ansi.Truncate(caption, width, "~")}, strings.Split(bend.Render(), "\n")...)
	return append(lines, strings.Split(off.Render(), "\n")...)
}

// bendPlot is the bend of both limbs now and after, beside the aim at the scale of the bend after.
func (t *planScreen) bendPlot(width, height int) graph.Plot {
	s, c := t.desk.Styles, curves{story: t.of.story(), bend: true}
	p := c.axes(s, width, height)
	p.XTicks = nil
	draw := func(pen look.Pen, o verdict.Outcome, of func(estimate.Bending) []float64) {
		for _, side := range model.Sides {
			p.Series = append(p.Series, line(c, bare(pen), side, o.Limbs[side].At, of(o.Limbs[side])))
		}
	}
	bent := func(limb estimate.Bending) []float64 { return values(limb.Bend, likely) }
	draw(s.Pass(2), t.now, bent)
	draw(s.Pass(1), t.after, func(limb estimate.Bending) []float64 { return limb.Aim })
	draw(s.Pass(0), t.after, bent)
	return p
}

// offPlot is what comes off both limbs, in per cent of the stiffness, with the chosen stretch marked.
func (t *planScreen) offPlot(p verdict.Plan, width, height int) graph.Plot {
	s, c := t.desk.Styles, curves{story: t.of.story()}
	plot := c.axes(s, width, height)
	plot.Y, plot.YDown, plot.YSteps = graph.Range{Min: 0, Max: 10}, true, []float64{5, 10, 20, 50}
	plot.YLabel = func(v float64) string { return fmt.Sprintf("%.0f %%", v) }
	for _, side := range model.Sides {
		var at, off []float64
		for j, stretch := range p.Stretches {
			if stretch.Side == side {
				at, off = append(at, stretch.From, stretch.To), append(off, 100*t.take[j], 100*t.take[j])
			}
		}
		if n := len(at); n > 0 {
			at, off = append(at, at[n-1]), append(off, 0)
		}
		pen := look.Pen{Stroke: graph.Solid, Style: s.Plain}
		plot.Series = append(plot.Series, line(c, pen, side, at, off))
	}
	if j := t.chosen(); j >= 0 {
		stretch := p.Stretches[j]
		at := c.place(stretch.Side, measure.Length(stretch.From+stretch.To)/2)
		plot.Series = append(plot.Series, graph.Series{X: []float64{at}, Y: []float64{100 * t.take[j]},
			Point: 'o', Style: s.Accent})
	}
	return plot
}

// detail tells the chosen stretch in words, in fewer where there is little room.
func (t *planScreen) detail(p verdict.Plan, width int) string {
	j := t.chosen()
	if j < 0 {
		return ""
	}
	stretch := p.Stretches[j]
	place := fmt.Sprintf("%s limb, %s %s:", stretch.Side, t.between(stretch.From, stretch.To),
		t.of.bow().Units.Length)
	off, brief := "nothing comes off", "nothing comes off"
	if c, err := verdict.CutOf(stretch, t.take[j]); err == nil && c.Loss != 0 {
		says := t.of.advice
		depth := says.SayDepth(says.RemovalOf(c))
		off = fmt.Sprintf("%s %% of the stiffness, %s", t.perCent(j), depth)
		brief = fmt.Sprintf("%s %%, %s", t.perCent(j), depth)
	}
	planned := ""
	switch {
	case p.Logged[j]:
		planned = "; logged"
	case t.take[j] != t.planned[j]:
		planned = "; planned " + t.sayPlanned(j)
	}
	if where := place + " " + off + planned; ansi.StringWidth(where) <= width {
		return where
	}
	return place + " " + brief + planned
}
