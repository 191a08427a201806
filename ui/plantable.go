package ui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// planTable is the stretches of both limbs in numbers: stiffness in per cent, depth or share of the depth,
// strokes where they are known. The chosen one has a sign before it, one that was changed a star behind it,
// one that was logged an x.
type planTable struct {
	of       *planScreen
	plan     verdict.Plan
	strokes  bool // of some stretch it is known how many take it off
	measured bool // the wood's depth is known somewhere
	wide     bool // there is room for a column of depths
}

// The widths of its columns.
const cutCells, depthCells, strokeCells = 9, 7, 5

// table is the plan's table in a window of a width.
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

// head is what stands over the columns of a limb.
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
	text := right(sign+s.amount(j, chosen), cutCells-1) + behind
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
	depth, strokes = "-", "-"
	c, err := verdict.CutOf(t.plan.Stretches[j], t.of.take[j])
	if err != nil || c.Loss <= 0 {
		return depth, strokes
	}
	bench := t.of.of
	r := bench.advice.RemovalOf(c)
	depth = fmt.Sprintf("%.1f", 100*r.DepthShare)
	if d, known := r.Depth.Get(); known {
		depth = bench.atWork.Story().Bow().Calliper().Print(measure.Length(d))
	}
	if n, known := r.Strokes.Get(); known {
		strokes = fmt.Sprint(n)
	}
	return depth, strokes
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
