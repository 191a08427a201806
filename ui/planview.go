package ui

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/session/advice"
	"bendbook/ui/graph"
	"bendbook/ui/look"
)

// How the plan is drawn: what to do in words; both limbs with the bend now, after and wanted, what comes off under them; the stretches in
// numbers; and what the bow is and would be.

// planLines are the plan on the bench, in two lines at most.
func planLines(s look.Styles, a advice.Advice, width int) []string {
	p, ok := a.Plan.Get()
	if !ok {
		return nil
	}
	line := strings.TrimSuffix(p.Line, ".")
	text := fmt.Sprintf("%s; g: the whole plan", line)
	if ansi.StringWidth(text) > width {
		text = fmt.Sprintf("%s; g: plan", line)
	}
	lines := wrapped(text, width, 2)
	style := verdictStyle(s, p)
	for i, line := range lines {
		lines[i] = style.Render(line)
	}
	return lines
}

// verdictStyle adds a colour to what the words of a plan say.
func verdictStyle(s look.Styles, p advice.Plan) interface{ Render(...string) string } {
	switch {
	case p.Halt != "":
		return s.Caution
	case p.Verdict == plan.Done:
		return s.Good
	case p.Verdict == plan.Weak:
		return s.Bad
	}
	return s.Strong
}

// fit implements screen: what was worked out meanwhile is taken up here, after each key and message.
func (t *planScreen) fit(int, int) { t.refresh() }

// planFoot is how many lines stand under the picture.
const planFoot = 7

func (t *planScreen) view(width, height int) string {
	s := t.desk.Styles
	p, ok := t.plan.Get()
	if !ok {
		text := t.of.reckoned.advice.NoPlan
		if !t.of.fresh() {
			text = "The plan is being reckoned."
		}
		var lines []string
		for _, line := range wrapped(text, max(10, width-4), 6) {
			lines = append(lines, "  "+line)
		}
		return "\n" + strings.Join(lines, "\n")
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
func (t *planScreen) head(p advice.Plan, width, height int) []string {
	style := verdictStyle(t.desk.Styles, p)
	lines := wrapped(p.Says[0], width, 2)
	for i, line := range lines {
		lines[i] = style.Render(line)
	}
	if height < 30 {
		return lines
	}
	// What the weight wanted is made up of stands at the foot.
	for _, text := range append(slices.Clone(p.Says[1:]), t.of.reckoned.advice.SaysCameOff()...) {
		if more := wrapped(text, width, 2); text != p.Wish && len(lines)+len(more) <= height/4 {
			lines = append(lines, more...)
		}
	}
	return lines
}

// placed is where a place of a limb stands on the horizontal axis, mirrored about the handle.
func placed(bow model.Bow, side model.Side, at float64) float64 {
	return curves{}.place(bow, side, measure.Length(at))
}

// picture is the bend over what comes off.
func (t *planScreen) picture(p advice.Plan, width, height int) []string {
	s := t.desk.Styles
	if height < 6 || width < 20 {
		return nil
	}
	bow := t.of.atWork.Story().Bow()
	caption := planLegend(s, "  ")
	if ansi.StringWidth(caption) > width {
		caption = planLegend(s, " ")
	}
	if unit := "  " + fmt.Sprintf("bend, 1/1000 per %s", bendLength(bow)); ansi.StringWidth(caption+unit) <= width {
		caption += unit
	}
	off := t.offPlot(p, width, max(4, (height-1)*2/5))
	bend := t.bendPlot(width, height-1-off.Height)
	labels := 4
	off.LabelWidth, bend.LabelWidth = labels, labels
	lines := append([]string{ansi.Truncate(caption, width, "~")}, strings.Split(bend.Render(), "\n")...)
	return append(lines, strings.Split(off.Render(), "\n")...)
}

// pens are those of the bend after, wanted and now.
func planPens(s look.Styles) (after, aim, now look.Pen) {
	after, aim, now = s.Pass(0), s.Pass(1), s.Pass(2)
	after.Point, aim.Point, now.Point = 0, 0, 0
	return after, aim, now
}

func planLegend(s look.Styles, between string) string {
	after, aim, now := planPens(s)
	return strings.Join([]string{
		fmt.Sprintf("%s now", drawn(now).Key(s.ASCII)), fmt.Sprintf("%s after", drawn(after).Key(s.ASCII)), fmt.Sprintf("%s aim", drawn(aim).Key(s.ASCII)),
	}, between)
}

// bendPlot is the bend of both limbs now and after, beside the aim at the scale of the bend after.
func (t *planScreen) bendPlot(width, height int) graph.Plot {
	s := t.desk.Styles
	bow := t.of.atWork.Story().Bow()
	c := curves{story: t.of.atWork.Story(), bend: true}
	p := graph.Plot{Width: width, Height: height, ASCII: s.ASCII, Axis: s.Quiet, X: c.across(bow)}
	p.YLabel, p.YSteps = c.scale(bow)
	after, aim, now := planPens(s)
	draw := func(pen look.Pen, o advice.Outcome, value func(estimate.Bending, int) float64) {
		for _, side := range model.Sides {
			series := drawn(pen)
			for i, at := range o.Limbs[side].At {
				series.X = append(series.X, placed(bow, side, at))
				series.Y = append(series.Y, value(o.Limbs[side], i))
			}
			p.Series = append(p.Series, series)
		}
	}
	bent := func(l estimate.Bending, i int) float64 { return l.Bend[i].Estimate }
	draw(now, t.now, bent)
	draw(aim, t.after, func(l estimate.Bending, i int) float64 { return l.Aim[i] })
	draw(after, t.after, bent)
	return p
}

// offPlot is what comes off both limbs, in per cent of the stiffness, hanging down from the belly; the chosen stretch is marked.
func (t *planScreen) offPlot(p advice.Plan, width, height int) graph.Plot {
	s := t.desk.Styles
	bow := t.of.atWork.Story().Bow()
	c := curves{story: t.of.atWork.Story()}
	plot := graph.Plot{
		Width: width, Height: height, ASCII: s.ASCII, Axis: s.Quiet, X: c.across(bow), XTicks: c.ticks(bow), YDown: true,
		Y: graph.Range{Min: 0, Max: 10}, YSteps: []float64{5, 10, 20, 50},
		YLabel: func(v float64) string { return fmt.Sprintf("%.0f %%", v) },
	}
	for _, side := range model.Sides {
		series := drawn(look.Pen{Stroke: graph.Solid, Style: s.Plain})
		for j, stretch := range p.Stretches {
			if stretch.Side == side {
				series.X = append(series.X, placed(bow, side, stretch.From), placed(bow, side, stretch.To))
				series.Y = append(series.Y, 100*t.take[j], 100*t.take[j])
			}
		}
		if n := len(series.X); n > 0 {
			series.X, series.Y = append(series.X, series.X[n-1]), append(series.Y, 0)
		}
		plot.Series = append(plot.Series, series)
	}
	if j := t.chosen(); j >= 0 {
		stretch := p.Stretches[j]
		plot.Series = append(plot.Series, graph.Series{
			X: []float64{placed(bow, stretch.Side, (stretch.From+stretch.To)/2)}, Y: []float64{100 * t.take[j]}, Point: 'o', Style: s.Accent,
		})
	}
	return plot
}

// amount is what comes off a stretch in per cent, or as it is being typed.
func (t *planScreen) amount(j int, chosen bool) string {
	switch {
	case chosen && t.typed != "":
		return t.typed + "_"
	case t.take[j] == 0:
		return "-"
	}
	return t.perCent(j)
}

// perCent is what comes off a stretch in per cent: whole as it was planned, to a tenth as it was typed.
func (t *planScreen) perCent(j int) string {
	if t.take[j] == t.planned[j] && t.take[j] >= 0.0095 {
		return fmt.Sprintf("%.0f", 100*t.take[j])
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", 100*t.take[j]), ".0")
}

// between is a stretch in few letters: 8-12.
func (t *planScreen) between(from, to float64) string {
	unit := t.of.atWork.Story().Bow().Units.Length
	rule := measure.Rule{Unit: unit, Step: unit.DefaultStep()}
	if unit != measure.Inch {
		rule.Step = measure.Centimetre.Length(1)
	}
	return rule.Short(measure.Length(from)) + "-" + rule.Short(measure.Length(to))
}

// detail tells the chosen stretch in words, in fewer where there is little room.
func (t *planScreen) detail(p advice.Plan, width int) string {
	j := t.chosen()
	if j < 0 {
		return ""
	}
	stretch := p.Stretches[j]
	place := fmt.Sprintf("%s limb, %s %s:", stretch.Side, t.between(stretch.From, stretch.To), t.of.atWork.Story().Bow().Units.Length)
	off, brief := "nothing comes off", "nothing comes off"
	if c, err := advice.CutOf(stretch, t.take[j]); err == nil && c.Loss != 0 {
		says := t.of.reckoned.advice
		depth := says.SayDepth(says.RemovalOf(c))
		off, brief = fmt.Sprintf("%s %% of the stiffness, %s", t.perCent(j), depth), fmt.Sprintf("%s %%, %s", t.perCent(j), depth)
	}
	planned := ""
	switch {
	case p.Logged[j]:
		planned = "; " + "logged"
	case t.take[j] != t.planned[j]:
		planned = "; " + fmt.Sprintf("planned %s", t.sayPlanned(j))
	}
	where := place + " " + off + planned
	if ansi.StringWidth(where) > width {
		where = place + " " + brief + planned
	}
	return where
}
