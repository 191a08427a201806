package ui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/session/advice"
)

// What stands under the plan: what the bow is and would be, in numbers.

// outcome is what the bow is and would be, with bands, beside what is wanted; and what the weight wanted is made up of. Where there is little
// room, what it is has no bands.
func (t *planScreen) outcome(p advice.Plan, width int) []string {
	if t.err != nil {
		return lengthen(wrapped(fmt.Sprintf("What the bow would be can't be told: %s", t.err.Error()), width, planFoot-1), planFoot-1)
	}
	s := t.desk.Styles
	cells := t.outcomeCells(p)
	widths := make([]int, 4)
	fill := func() (sum int) {
		clear(widths)
		for _, line := range cells {
			for i, cell := range line {
				widths[i] = max(widths[i], ansi.StringWidth(cell))
			}
		}
		for _, w := range widths {
			sum += w + 2
		}
		return sum - 2
	}
	if fill() > width {
		for _, line := range cells {
			line[1], _, _ = strings.Cut(line[1], " (")
			line[3] = strings.TrimSuffix(line[3], " "+t.of.atWork.Story().Bow().Units.Force.Symbol())
		}
		fill()
	}
	var lines []string
	for i, line := range cells {
		lines = append(lines, strings.TrimRight(ansi.Truncate(row(widths, line...), width, "~"), " "))
		if i == 0 {
			lines[i] = s.Quiet.Render(lines[i])
		}
	}
	return append(lines, t.warning(p, width))
}

// outcomeCells are the head and the lines of the outcome: what, now, after, wanted.
func (t *planScreen) outcomeCells(p advice.Plan) [][]string {
	bow := t.of.atWork.Story().Bow()
	scale := bow.Weigher()
	rule := measure.Rule{Unit: bow.Units.Length, Step: bow.Units.Length.DefaultStep() / 2}
	weight := func(f estimate.Figure) string {
		return fmt.Sprintf("%s (%s to %s)", scale.WithUnit(measure.Force(f.Estimate)), scale.Print(measure.Force(f.Low)), scale.Print(measure.Force(f.High)))
	}
	tiller := func(f estimate.Figure) string {
		return fmt.Sprintf("%s (%s to %s)", rule.PrintSigned(measure.Length(f.Estimate)), rule.PrintSigned(measure.Length(f.Low)), rule.PrintSigned(measure.Length(f.High)))
	}
	uneven := func(f estimate.Figure) string {
		if f == (estimate.Figure{}) {
			return "-"
		}
		return fmt.Sprintf("%.0f %% (%.0f to %.0f)", 100*f.Estimate, 100*f.Low, 100*f.High)
	}
	place := func(at float64) string {
		return bow.Ruler().Short(measure.Length(at)) + " " + string(bow.Units.Length)
	}
	cells := [][]string{
		{"", "now", "after", "wanted"},
		{fmt.Sprintf("at %s", place(p.Wanted.Draw)), weight(t.now.Weight), weight(t.after.Weight),
			fmt.Sprintf("%s to %s", scale.Print(measure.Force(p.Wanted.Least())), scale.WithUnit(measure.Force(p.Wanted.Most())))},
		{fmt.Sprintf("u-l at %s", place(p.Wanted.TillerAt)), tiller(t.now.Tiller), tiller(t.after.Tiller), rule.PrintSigned(measure.Length(p.Wanted.Tiller))},
	}
	for _, side := range []model.Side{model.Lower, model.Upper} {
		cells = append(cells, []string{fmt.Sprintf("uneven, %s", side), uneven(t.now.Uneven[side]), uneven(t.after.Uneven[side]), "little"})
	}
	return cells
}

// warning says where too much is to come off; else of what the weight wanted is made up.
func (t *planScreen) warning(p advice.Plan, width int) string {
	s := t.desk.Styles
	bow := t.of.atWork.Story().Bow()
	least := bow.Weigher().WithUnit(measure.Force(p.Wanted.Least()))
	switch chance := t.after.ChanceUnder; {
	case chance > plan.MostChance && len(t.cuts(p)) > 0:
		return s.Bad.Render(ansi.Truncate(fmt.Sprintf("Too much: it may weigh less than %s then, by a chance of %.0f %%.", least, 100*chance), width, "~"))
	}
	text := t.of.reckoned.advice.SayWanted(false)
	if ansi.StringWidth(text) > width {
		text = t.of.reckoned.advice.SayWanted(true)
	}
	return s.Quiet.Render(ansi.Truncate(text, width, "~"))
}
