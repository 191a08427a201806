package ui

import (
	"math"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
	"bendbook/ui/look"
)

// column is a column of a table. It is widened for a cell that would touch the one before.
type column[T any] struct {
	head  string
	width int
	cell  func(T) string
}

func table[T any](s look.Styles, rows []T, columns ...column[T]) block {
	lines := make([]string, 1+len(rows))
	for i, c := range columns {
		width := c.width
		for _, at := range rows {
			width = max(width, min(i, 1)+ansi.StringWidth(c.cell(at)))
		}
		lines[0] += right(c.head, width)
		for k, at := range rows {
			lines[1+k] += right(c.cell(at), width)
		}
	}
	width := ansi.StringWidth(lines[0])
	lines[0] = s.Quiet.Render(lines[0])
	return block{width, lines}
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
		default:
			return session.SayReading(bow, measure.Some(measure.Length(values[i])))
		}
	}
}

// numbers are the readings beside the curves, in the rule's fractions.
func numbers(s look.Styles, c curves) block {
	bow, pass := c.story.Bow(), c.passes[0]
	rows, _ := c.story.Passes[pass].Reading(c.pose)
	place := func(at session.Station) string { return bow.Ruler().Short(at.At) }
	difference := func(at session.Station) string { return session.SayDifference(bow, at, rows) }
	return table(s, session.Stations(bow), column[session.Station]{"at", 3, place},
		column[session.Station]{"lower", 9, c.cell(pass, model.Lower)},
		column[session.Station]{"upper", 9, c.cell(pass, model.Upper)},
		column[session.Station]{"apart", 8, difference})
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

// sayReadings are the readings of an entry, limb by limb; "" where it has none.
func sayReadings(bow model.Bow, entry model.Event) string {
	var rows model.Readings
	rule := bow.Ruler()
	switch what := entry.(type) {
	case model.Pull:
		rows = what.Readings
	case model.Braced:
		rows = what.Readings
		if block := what.Block; block != nil && !rows.Any() {
			rows, rule = block.Gaps, bow.Calliper()
		}
	case model.Relaxed:
		rows = what.Readings
	}
	var parts []string
	for _, side := range model.Sides {
		var row []string
		for _, reading := range rows[side] {
			row = append(row, "-")
			if l, known := reading.Get(); known {
				row[len(row)-1] = rule.Print(l)
			}
		}
		if len(row) > 0 {
			parts = append(parts, side.String()+": "+strings.Join(row, ", "))
		}
	}
	return strings.Join(parts, "; ")
}
