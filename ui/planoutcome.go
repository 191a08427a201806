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
			line[3] = strings.TrimSuffix(line[3], " "+t.of.atWork.Story().Bow().Units.Force.Symbol())
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
	bow := t.of.atWork.Story().Bow()
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
	s, bow := t.desk.Styles, t.of.atWork.Story().Bow()
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
