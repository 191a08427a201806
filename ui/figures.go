package ui

import (
	"fmt"
	"math"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
	"bendbook/ui/graph"
	"bendbook/ui/look"
)

// column is a column of a table. It is widened for a cell that would touch the one before.
type column[T any] struct {
	head   string
	width  int
	cell   func(T) string
	marked func(T) bool // whose cell has the style; nil is none
	style  lipgloss.Style
}

// table is a table with a line for each row.
func table[T any](s look.Styles, rows []T, columns ...column[T]) block {
	lines := make([]string, 1+len(rows))
	for i, c := range columns {
		width := c.width
		for _, at := range rows {
			width = max(width, min(i, 1)+ansi.StringWidth(c.cell(at)))
		}
		lines[0] += right(c.head, width)
		for k, at := range rows {
			text := right(c.cell(at), width)
			if c.marked != nil && c.marked(at) {
				text = c.style.Render(text)
			}
			lines[1+k] += text
		}
	}
	width := ansi.StringWidth(lines[0])
	lines[0] = s.Quiet.Render(lines[0])
	return block{width, lines}
}

// stationTable is a table with a line for each station of either limb.
func stationTable(s look.Styles, bow model.Bow, columns ...column[session.Station]) block {
	place := func(at session.Station) string { return bow.Ruler().Short(at.At) }
	columns = append([]column[session.Station]{{head: "at", width: 3, cell: place}}, columns...)
	return table(s, session.Stations(bow), columns...)
}

func quiet(s look.Styles, head string, width int, cell func(session.Station) string) column[session.Station] {
	all := func(session.Station) bool { return true }
	return column[session.Station]{head, width, cell, all, s.Quiet}
}

// cell is what a pass has of a limb at its stations, as text.
func (c curves) cell(pass int, side model.Side) func(session.Station) string {
	bow, values := c.story.Bow(), c.values(pass, side)
	return func(at session.Station) string {
		switch i := at.Index[side]; {
		case i < 0:
			return ""
		case i >= len(values) || math.IsNaN(values[i]):
			return "-"
		case c.bend:
			return sayBend(bow, values[i])
		default:
			return session.SayReading(bow, measure.Some(measure.Length(values[i])))
		}
	}
}

// numbers are the readings beside the curves, in the rule's fractions; wide adds those of the pass before.
func numbers(s look.Styles, c curves, wide bool) block {
	bow, pass := c.story.Bow(), c.passes[0]
	rows, _ := c.story.Passes[pass].Reading(c.pose)
	difference := func(at session.Station) string { return session.SayDifference(bow, at, rows) }
	last := column[session.Station]{head: "u - l", width: 8, cell: difference}
	if c.bend {
		last.head, last.cell = "+-", c.bendError
	}
	columns := []column[session.Station]{{head: "lower", width: 9, cell: c.cell(pass, model.Lower)},
		{head: "upper", width: 9, cell: c.cell(pass, model.Upper)}, last}
	if _, earlier, ok := c.story.Earlier(c.pose, pass); ok && wide && !c.bend {
		head := fmt.Sprintf("pass %d:%9s", earlier, "lower")
		columns = append(columns, quiet(s, head, 20, c.cell(earlier, model.Lower)),
			quiet(s, "upper", 9, c.cell(earlier, model.Upper)))
	}
	return stationTable(s, bow, columns...)
}

// bendError is half of the 90 % band that the error of reading leaves in the bend, the larger of both limbs'.
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

// bendPlot draws the bend at the ordered draw as estimated, its 90 % band, and the aim.
func bendPlot(s look.Styles, c curves, a verdict.Advice, width, height int) graph.Plot {
	p := c.axes(s, width, height)
	draw := func(pen look.Pen, side model.Side, values []float64) {
		p.Series = append(p.Series, line(c, pen, side, a.Limbs[side].At, values))
	}
	for _, side := range model.Sides {
		limb := a.Limbs[side]
		draw(bare(s.Pass(2)), side, values(limb.Bend, func(f estimate.Figure) float64 { return f.Low }))
		draw(bare(s.Pass(2)), side, values(limb.Bend, func(f estimate.Figure) float64 { return f.High }))
		draw(bare(s.Pass(1)), side, limb.Aim)
	}
	for _, side := range model.Sides {
		draw(s.Pass(0), side, values(a.Limbs[side].Bend, likely))
	}
	return p
}

func values(figures []estimate.Figure, of func(estimate.Figure) float64) (all []float64) {
	for _, f := range figures {
		all = append(all, of(f))
	}
	return all
}

func likely(f estimate.Figure) float64 { return f.Estimate }

func bendLegend(s look.Styles) string {
	return key(s, s.Pass(0), "bend") + "  " + key(s, bare(s.Pass(1)), "aim") + "  " +
		key(s, bare(s.Pass(2)), "90 % band")
}

// deviations are how much more or less than the aim each station bends, in per cent with half the band's
// width; stations out of the comparison show a dash.
func deviations(s look.Styles, a verdict.Advice) block {
	var columns []column[session.Station]
	for _, side := range []model.Side{model.Lower, model.Upper} {
		limb := a.Limbs[side]
		deviation := func(at session.Station) string {
			i := at.Index[side]
			if i < 0 || i >= len(limb.Deviation) || !limb.Compared[i] {
				return "-"
			}
			f := limb.Deviation[i]
			return fmt.Sprintf("%+.0f +-%.0f", 100*f.Estimate, 100*math.Abs(f.High-f.Low)/2)
		}
		columns = append(columns, column[session.Station]{head: side.String() + ", %", width: 12, cell: deviation})
	}
	return stationTable(s, a.Bow, columns...)
}

// verdictStyle adds a colour to what the words of a verdict say.
func verdictStyle(s look.Styles, v verdict.Verdict) lipgloss.Style {
	switch v.Do {
	case verdict.Stop:
		return s.Bad
	case verdict.Finish, verdict.None:
		return s.Good
	case verdict.Tell, verdict.Check, verdict.DrawAgain, verdict.Exercise:
		return s.Caution
	}
	return s.Strong
}
