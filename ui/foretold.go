package ui

import (
	"fmt"
	"math"
	"slices"

	"github.com/charmbracelet/lipgloss"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/plan"
	"bendbook/session"
	"bendbook/session/verdict"
	"bendbook/ui/graph"
	"bendbook/ui/look"
)

// How the bench shows the advice: what comes next, what the bow will weigh, and how it bends.

// findingLines are the findings in plain words, in n lines, or two more where they are too long for the
// width; what nobody can know yet where there are none.
func findingLines(s look.Styles, a verdict.Advice, width, n int) []string {
	var lines []string
	for _, finding := range a.Findings {
		lines = append(lines, styled(s.Strong, finding.Says, width, 2)...)
	}
	switch {
	case len(lines) > 0:
	case len(a.Unsure) == 0:
		lines = append(lines, s.Good.Render("No flat spot and no hinge shows."))
	default:
		lines = append(lines, s.Quiet.Render("The readings cannot show an uneven place yet. What would:"))
		var told []string
		for _, unsure := range a.Unsure {
			if !slices.Contains(told, unsure.WouldSettle) { // it may be the same on both limbs
				told = append(told, unsure.WouldSettle)
				lines = append(lines, styled(s.Quiet, unsure.WouldSettle, width, 3)...)
			}
		}
	}
	n = max(n, min(len(lines), n+2))
	if len(lines) > n {
		lines = append(lines[:n-1], s.Quiet.Render("and more: a tells all"))
	}
	return lengthen(lines, n)
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

// values are one value of each figure.
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
	var columns []column
	for _, side := range []model.Side{model.Lower, model.Upper} {
		limb := a.Limbs[side]
		columns = append(columns, column{side.String() + ", %", 12, func(at session.Station) string {
			i := at.Index[side]
			if i < 0 || i >= len(limb.Deviation) || !limb.Compared[i] {
				return "-"
			}
			f := limb.Deviation[i]
			return fmt.Sprintf("%+.0f +-%.0f", 100*f.Estimate, 100*math.Abs(f.High-f.Low)/2)
		}, false})
	}
	return stationTable(s, a.Bow, columns...)
}

// verdictStyle adds a colour to what the words of a plan say.
func verdictStyle(s look.Styles, p verdict.Plan) lipgloss.Style {
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
