package ui

import (
	"fmt"
	"slices"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/ui/look"
)

// numbers are the readings beside the curves, in the rule's own fractions; wide adds those of the pass before.
func numbers(s look.Styles, c curves, wide bool) block {
	bow := c.story.Bow()
	rows, _ := c.story.Passes[c.passes[0]].Reading(c.pose)
	before, earlier, hasEarlier := c.story.Earlier(c.pose, c.passes[0])
	wide = wide && hasEarlier && !c.bend
	cell := func(values [2][]string, side model.Side, i int) string {
		if i < 0 || i >= len(values[side]) {
			return ""
		}
		return values[side][i]
	}
	now, was := texts(c, rows), texts(c, before)
	last, beside := "u - l", func(at session.Station) string { return session.SayDifference(bow, at, rows) }
	if c.bend {
		last, beside = "+-", c.bendError
	}
	// A difference may be as long as +2 13/16 and needs a blank before it.
	first, beyond := stationsWidth(bow), 8
	for _, at := range session.Stations(bow) {
		beyond = max(beyond, 1+ansi.StringWidth(beside(at)))
	}
	head := right("at", first) + right("lower", 9) + right("upper", 9) + right(last, beyond)
	if wide {
		head += "  " + right(fmt.Sprintf("pass %d:", earlier), 9) + right("lower", 9) + right("upper", 9)
	}
	t := block{width: ansi.StringWidth(head), lines: []string{s.Quiet.Render(head)}}
	for _, at := range session.Stations(bow) {
		line := right(bow.Ruler().Short(at.At), first) + right(cell(now, model.Lower, at.Index[model.Lower]), 9) +
			right(cell(now, model.Upper, at.Index[model.Upper]), 9) + right(beside(at), beyond)
		if wide {
			line += s.Quiet.Render(right(cell(was, model.Lower, at.Index[model.Lower]), 20) + right(cell(was, model.Upper, at.Index[model.Upper]), 9))
		}
		t.lines = append(t.lines, line)
	}
	return t
}

// bendError is half of the 90 % band that the error of reading leaves in the bend at a station: the larger of both limbs'.
func (c curves) bendError(at session.Station) string {
	most := 0.0
	for _, side := range model.Sides {
		if i := at.Index[side]; i >= 0 {
			most = max(most, c.story.BendError(side, c.pose)[i])
		}
	}
	if most == 0 {
		return ""
	}
	return sayBend(c.story.Bow(), estimate.BandWidth*most)
}

// texts are the numbers of the table, by side and station.
func texts(c curves, rows model.Readings) [2][]string {
	bow := c.story.Bow()
	var out [2][]string
	for _, side := range model.Sides {
		for i := range bow.Limbs[side].Stations {
			out[side] = append(out[side], session.SayReading(bow, rows.At(side, i)))
		}
	}
	if !c.bend {
		return out
	}
	bend, _ := c.story.BendOf(c.passes[0], c.pose)
	for _, side := range model.Sides {
		for i := range out[side] {
			out[side][i] = "-"
			if i < len(bend[side]) {
				if v, known := bend[side][i].Get(); known {
					out[side][i] = sayBend(bow, v)
				}
			}
		}
	}
	return out
}

// tillerLine is the difference between the limbs at each station, braced, against the aim.
func tillerLine(s look.Styles, story session.Story, pass, width int) string {
	bow := story.Bow()
	rule := bow.Ruler()
	tiller, ok := story.TillerOf(pass)
	if !ok {
		return s.Quiet.Render("tiller: no braced gaps yet (b)")
	}
	line := s.Quiet.Render(fmt.Sprintf("u - l, braced, pass %d", tiller.Pass))
	off, judged := tiller.OffAim()
	judgement := ""
	if judged {
		judgement = "  " + s.Strong.Render(rule.Short(tiller.AimAt)+" "+rule.PrintSigned(off+tiller.Aim.Or(0))) +
			s.Quiet.Render(" ("+fmt.Sprintf("aim %s", rule.PrintSigned(tiller.Aim.Or(0)))+", ") + session.SayOff(rule, off) + s.Quiet.Render(")")
	}
	if ansi.StringWidth(line)+ansi.StringWidth(judgement) > width {
		judgement = "  " + s.Strong.Render(rule.Short(tiller.AimAt)+" "+rule.PrintSigned(off+tiller.Aim.Or(0))) +
			" (" + session.SayOff(rule, off) + ")"
	}
	// The station that is judged keeps its place on the line; of the others those are left out that have none.
	room := width - 4 - ansi.StringWidth(line) - ansi.StringWidth(judgement)
	for _, gap := range tiller.Gaps {
		if judged && session.SameStation(gap.At, tiller.AimAt) {
			line += judgement
			judged = false
			continue
		}
		text := "  " + s.Quiet.Render(rule.Short(gap.At)+" ") + rule.PrintSigned(gap.Difference)
		if room -= ansi.StringWidth(text); room < 0 {
			if judged {
				line += judgement
			}
			return line + s.Quiet.Render(" ...")
		}
		line += text
	}
	return line
}

// peakLines are the peaks against draws, of the pass looked at and the ones before it.
func peakLines(s look.Styles, story session.Story, pass, width, most int) []string {
	bow := story.Bow()
	var passes []session.Pass
	for n := pass; n >= 0 && len(passes) < most-1; n-- {
		if len(story.Passes[n].Peaks()) > 0 {
			passes = append(passes, story.Passes[n])
		}
	}
	if len(passes) == 0 {
		return lengthen([]string{s.Quiet.Render("no peak was read yet")}, most)
	}
	var draws []measure.Length
	for _, p := range passes {
		for _, pull := range p.Peaks() {
			if !slices.ContainsFunc(draws, func(d measure.Length) bool { return session.SameDraw(d, pull.Draw) }) {
				draws = append(draws, pull.Draw)
			}
		}
	}
	slices.Sort(draws)
	const label, cell = 16, 8
	if fits := (width - label) / cell; len(draws) > fits {
		draws = draws[len(draws)-fits:]
	}
	head := left(fmt.Sprintf("peak, %s at %s", bow.Units.Force.Symbol(), bow.Units.Length), label)
	for _, draw := range draws {
		head += right(bow.Ruler().Print(draw), cell)
	}
	lines := []string{s.Quiet.Render(head)}
	for i, p := range passes {
		line := left("  "+fmt.Sprintf("pass %d", p.Number), label)
		for _, draw := range draws {
			text := ""
			if peak, known := p.Peak(draw).Get(); known {
				text = bow.Weigher().Print(peak)
			}
			line += right(text, cell)
		}
		if i > 0 {
			line = s.Quiet.Render(line)
		}
		lines = append(lines, line)
	}
	return lengthen(lines, most)
}
