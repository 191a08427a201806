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
)

// planTable is the stretches of both limbs in numbers: stiffness in per cent, depth or share of it, strokes.
// The chosen one has a sign before it, one that was changed a star behind it, one that was logged an x.
type planTable struct {
	of       *planScreen
	plan     verdict.Plan
	strokes  bool // of some stretch it is known how many take it off
	measured bool // the wood's depth is known somewhere
	wide     bool // there is room for a column of depths
}

// The widths of its columns.
const cutCells, depthCells, strokeCells = 9, 7, 5

func (t *planScreen) table(p verdict.Plan, width int) block {
	table := planTable{of: t, plan: p}
	for _, c := range t.cuts(p) {
		r := t.of.advice.RemovalOf(c)
		table.strokes, table.measured = table.strokes || r.Strokes.Known(), table.measured || r.Depth.Known()
	}
	table.wide = width >= 70 && (!table.strokes || width >= 90)
	places := make([]string, len(t.rows))
	first := 5
	for i, r := range t.rows {
		places[i] = t.between(r.from, r.to)
		first = max(first, ansi.StringWidth(places[i]))
	}
	head := right("", first) + table.head("lower") + table.head("upper")
	b := block{width: ansi.StringWidth(head), lines: []string{t.desk.Styles.Quiet.Render(head)}}
	for i := range t.rows {
		line := right(places[i], first)
		for _, side := range []model.Side{model.Lower, model.Upper} {
			line += table.cell(i, side, (b.width-first)/2)
		}
		b.lines = append(b.lines, line)
	}
	return b
}

func (t planTable) head(limb string) string {
	head := right(limb+", %", cutCells)
	if t.wide {
		depth := "depth%"
		if t.measured {
			depth = "depth"
		}
		head += right(depth, depthCells)
	}
	if t.strokes {
		head += right("x", strokeCells)
	}
	return head
}

// cell is a limb's part of a row; blank where the limb has no such stretch.
func (t planTable) cell(row int, side model.Side, width int) string {
	s := t.of
	j := s.rows[row].at[side]
	if j < 0 {
		return strings.Repeat(" ", width)
	}
	chosen := row == s.row && side == s.side
	sign, behind := " ", " "
	if chosen {
		sign = ">"
	}
	switch {
	case t.plan.Logged[j]:
		behind = "x"
	case s.take[j] != s.planned[j]:
		behind = "*"
	}
	amount := s.perCent(j)
	switch {
	case chosen && s.typed != "":
		amount = s.typed + "_"
	case s.take[j] == 0:
		amount = "-"
	}
	text := right(sign+amount, cutCells-1) + behind
	depth, strokes := t.wood(j)
	if t.wide {
		text += right(depth, depthCells)
	}
	if t.strokes {
		text += right(strokes, strokeCells)
	}
	if chosen {
		return s.desk.Styles.Chosen.Render(text)
	}
	return text
}

// wood is what comes off a stretch as a depth or a share of it, and in strokes; - where that is not known.
func (t planTable) wood(j int) (depth, strokes string) {
	c, err := verdict.CutOf(t.plan.Stretches[j], t.of.take[j])
	if err != nil || c.Loss <= 0 {
		return "-", "-"
	}
	bench := t.of.of
	r := bench.advice.RemovalOf(c)
	depth, strokes = fmt.Sprintf("%.1f", 100*r.DepthShare), "-"
	if d, known := r.Depth.Get(); known {
		depth = bench.bow().Calliper().Print(measure.Length(d))
	}
	if n, known := r.Strokes.Get(); known {
		strokes = fmt.Sprint(n)
	}
	return depth, strokes
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
	unit := t.of.bow().Units.Length
	rule := measure.Rule{Unit: unit, Step: unit.DefaultStep()}
	if unit != measure.Inch {
		rule.Step = measure.Centimetre.Length(1)
	}
	return rule.Short(measure.Length(from)) + "-" + rule.Short(measure.Length(to))
}

// What stands under the plan: what the bow is and would be, in numbers.

// planFoot is how many lines stand under the picture.
const planFoot = 7

// outcome is what the bow is and would be, with bands, beside what is wanted; and what the weight wanted is
// made up of. Where there is little room, what it is has no bands.
func (t *planScreen) outcome(p verdict.Plan, width int) []string {
	if t.err != nil {
		text := fmt.Sprintf("What the bow would be can't be told: %v", t.err)
		return lengthen(wrapped(text, width, planFoot-1), planFoot-1)
	}
	cells := t.outcomeCells(p)
	lines := inColumnsOf(cells)
	if slices.ContainsFunc(lines, func(line string) bool { return ansi.StringWidth(line) > width }) {
		for _, line := range cells {
			line[1], _, _ = strings.Cut(line[1], " (")
			line[3] = strings.TrimSuffix(line[3], " "+t.of.bow().Units.Force.Symbol())
		}
		lines = inColumnsOf(cells)
	}
	for i, line := range lines {
		lines[i] = strings.TrimRight(ansi.Truncate(line, width, "~"), " ")
	}
	lines[0] = t.desk.Styles.Quiet.Render(lines[0])
	return append(lines, t.warning(p, width))
}

// inColumnsOf are lines of cells, each column as wide as its widest cell.
func inColumnsOf(cells [][]string) []string {
	widths := make([]int, len(cells[0]))
	for _, line := range cells {
		for i, cell := range line {
			widths[i] = max(widths[i], ansi.StringWidth(cell))
		}
	}
	var lines []string
	for _, line := range cells {
		lines = append(lines, row(widths, line...))
	}
	return lines
}

// outcomeCells are the head and the lines of the outcome: what, now, after, wanted.
func (t *planScreen) outcomeCells(p verdict.Plan) [][]string {
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
		{place(p.Wanted.Draw), banded(t.now.Weight, force, pounds), banded(t.after.Weight, force, pounds),
			force(p.Wanted.Least()) + " to " + force(p.Wanted.Most()) + pounds},
		{"u-l " + place(p.Wanted.TillerAt), banded(t.now.Tiller, length, ""),
			banded(t.after.Tiller, length, ""), length(p.Wanted.Tiller)},
	}
	for _, side := range []model.Side{model.Lower, model.Upper} {
		line := []string{fmt.Sprintf("uneven, %s", side), "-", "-", "little"}
		for i, f := range []estimate.Figure{t.now.Uneven[side], t.after.Uneven[side]} {
			if f != (estimate.Figure{}) {
				line[1+i] = banded(f, share, " %")
			}
		}
		cells = append(cells, line)
	}
	return cells
}

// warning says where too much is to come off; else of what the weight wanted is made up.
func (t *planScreen) warning(p verdict.Plan, width int) string {
	s, bow := t.desk.Styles, t.of.bow()
	if chance := t.after.ChanceUnder; chance > plan.MostChance && len(t.cuts(p)) > 0 {
		text := fmt.Sprintf("Too much: it may weigh less than %s then, by a chance of %.0f %%.",
			bow.Weigher().WithUnit(measure.Force(p.Wanted.Least())), 100*chance)
		return s.Bad.Render(ansi.Truncate(text, width, "~"))
	}
	text := t.of.advice.SayWanted(false)
	if ansi.StringWidth(text) > width {
		text = t.of.advice.SayWanted(true)
	}
	return s.Quiet.Render(ansi.Truncate(text, width, "~"))
}
