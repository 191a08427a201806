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
	"bendbook/session/verdict"
	"bendbook/ui/graph"
	"bendbook/ui/look"
)

// How the plan is drawn: what to do in words; both limbs with the bend now, after and wanted, what comes off
// under them; the stretches in numbers; and what the bow is and would be.

// fit implements screen: what was worked out meanwhile is taken up here, after each key and message.
func (t *planScreen) fit(int, int) { t.refresh() }

func (t *planScreen) view(width, height int) string {
	s := t.of.desk.Styles
	if !t.known {
		text := t.of.advice.NoPlan
		if !t.of.fresh() {
			text = "The plan is being worked out."
		}
		return "\n  " + strings.Join(wrapped(text, max(10, width-4), 6), "\n  ")
	}
	lines := t.head(width, height)
	middle := height - len(lines) - planFoot
	table := t.table(width)
	table.lines = scrolled(table.lines, t.row-middle/2+1, middle)
	const gap = 2
	room := width - table.width - gap
	picture := t.picture(room, middle)
	lines = append(lines, lengthen(beside(gap, block{room, picture}, table), middle)...)
	lines = append(lines, s.Accent.Render(ansi.Truncate(t.detail(width), width, "~")))
	lines = append(lines, t.outcome(width)...)
	return strings.Join(lines, "\n")
}

// head is what the plan says first; where there is room all that it says, and what the last scrapings took.
func (t *planScreen) head(width, height int) []string {
	s := t.of.desk.Styles
	lines := append(styled(verdictStyle(s, t.of.verdict), t.of.verdict.Say, width, 2),
		styled(s.Plain, t.plan.Says[0], width, 2)...)
	if height < 30 {
		return lines
	}
	// What the weight wanted is made up of stands at the foot.
	for _, text := range append(slices.Clone(t.plan.Says[1:]), t.of.advice.SaysCameOff()...) {
		if more := wrapped(text, width, 2); text != t.plan.Wish && len(lines)+len(more) <= height/4 {
			lines = append(lines, more...)
		}
	}
	return lines
}

func (t *planScreen) picture(width, height int) []string {
	s := t.of.desk.Styles
	if height < 6 || width < 20 {
		return nil
	}
	caption := key(s, s.Thin(false), "now") + "  " + key(s, s.Bold(), "after")
	if whole := "% off the aim: " + caption; ansi.StringWidth(whole) <= width {
		caption = whole
	}
	off := t.offPlot(width, max(4, (height-1)*2/5))
	bend := evenness{advice: t.of.advice}.change(s, width, height-1-off.Height, t.now.Limbs, t.after.Limbs)
	off.LabelWidth, bend.LabelWidth, bend.XTicks = 9, 9, nil
	lines := append([]string{ansi.Truncate(caption, width, "~")}, strings.Split(bend.Render(), "\n")...)
	return append(lines, strings.Split(off.Render(), "\n")...)
}

// offPlot is what comes off both limbs, in per cent of the stiffness, with the chosen stretch marked.
func (t *planScreen) offPlot(width, height int) graph.Plot {
	s, c := t.of.desk.Styles, curves{story: t.of.story()}
	plot := c.axes(s, width, height)
	plot.Y, plot.YDown, plot.YSteps = graph.Range{Min: 0, Max: 10}, true, []float64{5, 10, 20, 50}
	plot.YLabel = func(v float64) string { return fmt.Sprintf("%.0f%%", v) }
	for _, side := range model.Sides {
		var at, off []float64
		for j, stretch := range t.plan.Stretches {
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
		stretch := t.plan.Stretches[j]
		at := c.place(stretch.Side, measure.Length(stretch.From+stretch.To)/2)
		plot.Series = append(plot.Series, graph.Series{X: []float64{at}, Y: []float64{100 * t.take[j]},
			Point: 'o', Style: s.Accent})
	}
	return plot
}

func (t *planScreen) detail(width int) string {
	j := t.chosen()
	if j < 0 {
		return ""
	}
	stretch := t.plan.Stretches[j]
	place := fmt.Sprintf("%s limb, %s %s:", stretch.Side, t.between(stretch.From, stretch.To),
		t.of.bow().Units.Length)
	off, brief := "nothing comes off", "nothing comes off"
	if c, err := verdict.CutOf(stretch, t.take[j]); err == nil && c.Loss != 0 {
		says := t.of.advice
		depth := says.SayDepth(says.RemovalOf(c))
		off = fmt.Sprintf("%s%% of the stiffness, %s", t.perCent(j), depth)
		brief = fmt.Sprintf("%s %%, %s", t.perCent(j), depth)
	}
	planned := ""
	switch {
	case t.plan.Logged[j]:
		planned = "; logged"
	case t.take[j] != t.planned[j]:
		planned = "; planned " + t.sayPlanned(j)
	}
	if where := place + " " + off + planned; ansi.StringWidth(where) <= width {
		return where
	}
	return place + " " + brief + planned
}

// table is the stretches of both limbs in numbers: stiffness in per cent, depth or share of it where there is
// room, strokes where it is known how many take it off.
func (t *planScreen) table(width int) block {
	strokes, depth := false, "depth%"
	for _, c := range t.cuts(false) {
		r := t.of.advice.RemovalOf(c)
		if strokes = strokes || r.Strokes.Known(); r.Depth.Known() {
			depth = "depth"
		}
	}
	between := func(r planRow) string { return t.between(r.from, r.to) }
	columns := []column[planRow]{{width: 5, cell: between}}
	for _, side := range []model.Side{model.Lower, model.Upper} {
		add := func(head string, width int, cell func(j int) string) {
			columns = append(columns, column[planRow]{head, width, func(r planRow) string {
				if r.at[side] < 0 {
					return ""
				}
				return cell(r.at[side])
			}, func(r planRow) bool { return r.at[side] >= 0 && r.at[side] == t.chosen() }, t.of.desk.Styles.Chosen})
		}
		add(side.String()+", %", 9, t.amount)
		if width >= 70 && (!strokes || width >= 90) {
			add(depth, 7, func(j int) string { off, _ := t.wood(j); return off })
		}
		if strokes {
			add("x", 5, func(j int) string { _, n := t.wood(j); return n })
		}
	}
	return table(t.of.desk.Styles, t.rows, columns...)
}

// amount is what comes off a stretch, with a sign before the chosen one, a star behind one that was changed,
// and an x behind one that was logged.
func (t *planScreen) amount(j int) string {
	sign, amount, behind := " ", t.perCent(j), " "
	if t.take[j] == 0 {
		amount = "-"
	}
	if j == t.chosen() {
		if sign = ">"; t.typed != "" {
			amount = t.typed + "_"
		}
	}
	switch {
	case t.plan.Logged[j]:
		behind = "x"
	case t.take[j] != t.planned[j]:
		behind = "*"
	}
	return sign + amount + behind
}

// wood is what comes off a stretch as a depth or a share of it, and in strokes; - where that is not known.
func (t *planScreen) wood(j int) (depth, strokes string) {
	c, err := verdict.CutOf(t.plan.Stretches[j], t.take[j])
	if err != nil || c.Loss <= 0 {
		return "-", "-"
	}
	r := t.of.advice.RemovalOf(c)
	depth, strokes = fmt.Sprintf("%.1f", 100*r.DepthShare), "-"
	if d, known := r.Depth.Get(); known {
		depth = t.of.bow().Calliper().Print(measure.Length(d))
	}
	if n, known := r.Strokes.Get(); known {
		strokes = fmt.Sprint(n)
	}
	return depth, strokes
}

// between is a stretch in few letters: 8-12.
func (t *planScreen) between(from, to float64) string {
	unit := t.of.bow().Units.Length
	rule := measure.Rule{Unit: unit, Step: unit.DefaultStep()}
	if unit != measure.Inch {
		rule.Step = measure.Centimetre.Length(1)
	}
	return rule.Short(measure.Length(from)) + "-" + rule.Short(measure.Length(to))
}

// planFoot is how many lines stand under the picture.
const planFoot = 7

// outcome is what the bow is and would be, with bands, beside what is wanted; and what the weight wanted is
// made up of. Where there is little room, what it is has no bands.
func (t *planScreen) outcome(width int) []string {
	if t.err != nil {
		text := fmt.Sprintf("I can't say what the bow would be: %v", t.err)
		return lengthen(wrapped(text, width, planFoot-1), planFoot-1)
	}
	cells := t.outcomeCells()
	lines := inColumns(cells)
	if slices.ContainsFunc(lines, func(line string) bool { return ansi.StringWidth(line) > width }) {
		for _, line := range cells {
			line[1], _, _ = strings.Cut(line[1], " (")
			line[3] = strings.TrimSuffix(line[3], " "+t.of.bow().Units.Force.Symbol())
		}
		lines = inColumns(cells)
	}
	for i, line := range lines {
		lines[i] = strings.TrimRight(ansi.Truncate(line, width, "~"), " ")
	}
	lines[0] = t.of.desk.Styles.Quiet.Render(lines[0])
	return append(lines, t.warning(width))
}

// outcomeCells are the head and the lines of the outcome: what, now, after, wanted.
func (t *planScreen) outcomeCells() [][]string {
	bow := t.of.bow()
	scale, unit := bow.Weigher(), bow.Units.Length
	rule := measure.Rule{Unit: unit, Step: unit.DefaultStep() / 2}
	force := func(v float64) string { return scale.Print(measure.Force(v)) }
	length := func(v float64) string { return rule.PrintSigned(measure.Length(v)) }
	share := func(v float64) string { return fmt.Sprintf("%.0f", 100*v) }
	banded := func(f estimate.Figure, print func(float64) string, unit string) string {
		return fmt.Sprintf("%s%s (%s to %s)", print(f.Estimate), unit, print(f.Low), print(f.High))
	}
	place := func(at float64) string {
		return fmt.Sprintf("at %s %s", bow.Ruler().Short(measure.Length(at)), unit)
	}
	pounds := " " + bow.Units.Force.Symbol()
	cells := [][]string{
		{"", "now", "after", "wanted"},
		{place(t.plan.Wanted.Draw), banded(t.now.Weight, force, pounds), banded(t.after.Weight, force, pounds),
			force(t.plan.Wanted.Least()) + " to " + force(t.plan.Wanted.Most()) + pounds},
		{"up−lo " + place(t.plan.Wanted.TillerAt), banded(t.now.Tiller, length, ""),
			banded(t.after.Tiller, length, ""), length(t.plan.Wanted.Tiller)},
	}
	for _, side := range []model.Side{model.Lower, model.Upper} {
		line := []string{fmt.Sprintf("uneven, %s", side), "-", "-", "little"}
		for i, f := range []estimate.Figure{t.now.Uneven[side], t.after.Uneven[side]} {
			if f != (estimate.Figure{}) {
				line[1+i] = banded(f, share, "%")
			}
		}
		cells = append(cells, line)
	}
	return cells
}

// warning says where too much is to come off; else of what the weight wanted is made up.
func (t *planScreen) warning(width int) string {
	s, bow := t.of.desk.Styles, t.of.bow()
	if chance := t.after.ChanceUnder; chance > plan.MostChance && len(t.cuts(false)) > 0 {
		text := fmt.Sprintf("Too much: it may then weigh less than %s, with a chance of %.0f%%.",
			bow.Weigher().WithUnit(measure.Force(t.plan.Wanted.Least())), 100*chance)
		return s.Bad.Render(ansi.Truncate(text, width, "~"))
	}
	text := t.of.advice.SayWanted(false)
	if ansi.StringWidth(text) > width {
		text = t.of.advice.SayWanted(true)
	}
	return s.Quiet.Render(ansi.Truncate(text, width, "~"))
}
