package ui

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/session"
	"bendbook/session/verdict"
)

// How the plan is drawn: what to do in words; how both limbs bend against the aim, now and after; beside it
// what comes off each stretch; and what the bow is and would be.

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
	const gap = 2
	table := t.table(middle)
	room := width - table.width - gap
	picture := block{width: room}
	if middle >= 6 && room >= 20 {
		picture.lines = evenness{advice: t.of.advice}.change(s, room, middle, "after", t.now.Limbs, t.after.Limbs)
	}
	lines = append(lines, lengthen(beside(gap, picture, table), middle)...)
	lines = append(lines, s.Accent.Render(ansi.Truncate(t.detail(), width, "~")))
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

// detail is what comes off the chosen stretch, in all its measures.
func (t *planScreen) detail() string {
	if t.count == 0 {
		return ""
	}
	c, says := t.take[t.at], t.of.advice
	text := session.Capital(says.SayRemoval(says.RemovalOf(c)))
	if t.plan.Logged[t.at] {
		text += "; logged"
	}
	return text
}

// table is the stretches of both limbs with what comes off each, the chosen one among them.
func (t *planScreen) table(height int) block {
	var all []string
	for j, c := range t.take {
		amount := t.off(c)
		if j == t.at && t.typed != "" {
			amount = t.typed + "_"
		}
		switch {
		case t.plan.Logged[j]:
			amount += ", logged"
		case t.changed(j):
			amount += ", changed"
		}
		line := fmt.Sprintf("%s %s %s: %s", c.Side, t.between(c.From, c.To), t.of.bow().Units.Length, amount)
		if j == t.at {
			all = append(all, t.of.desk.Styles.Chosen.Render("> "+line))
		} else {
			all = append(all, "  "+line)
		}
	}
	b := block{}
	for _, line := range all {
		b.width = max(b.width, ansi.StringWidth(line))
	}
	from, to := around(t.at, len(all), height)
	b.lines = all[from:to]
	return b
}

// between is a stretch in few letters: 8–12.
func (t *planScreen) between(from, to float64) string {
	unit := t.of.bow().Units.Length
	rule := measure.Rule{Unit: unit, Step: unit.DefaultStep()}
	if unit != measure.Inch {
		rule.Step = measure.Centimetre.Length(1)
	}
	return rule.Short(measure.Length(from)) + "–" + rule.Short(measure.Length(to))
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
	lines := rangedColumns(t.outcomeCells(), width, 2)
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
	place := func(at float64) string {
		return fmt.Sprintf("at %s %s", bow.Ruler().Short(measure.Length(at)), unit)
	}
	pounds := " " + bow.Units.Force.Symbol()
	cells := [][]string{
		{"", "now", "after", "you want"},
		{"weight " + place(t.plan.Wanted.Draw), verdict.SayRange(t.now.Weight, force, pounds),
			verdict.SayRange(t.after.Weight, force, pounds),
			force(t.plan.Wanted.Least()) + "–" + force(t.plan.Wanted.Most()) + pounds},
		{"upper − lower " + place(t.plan.Wanted.TillerAt), length(t.now.Tiller.Estimate),
			verdict.SayRange(t.after.Tiller, length, ""), length(t.plan.Wanted.Tiller)},
	}
	for _, side := range []model.Side{model.Lower, model.Upper} {
		cells = append(cells, []string{fmt.Sprintf("%s limb uneven by", side),
			verdict.SayRange(t.now.Uneven[side], share, "%"), verdict.SayRange(t.after.Uneven[side], share, "%"),
			"little"})
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
