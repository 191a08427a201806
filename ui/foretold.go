package ui

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
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
	draw := func(pen look.Pen, side model.Side, value func(limb verdict.Limb, i int) float64) {
		limb := a.Limbs[side]
		p.Series = append(p.Series, c.line(pen, side, lengths(limb.At), func(i int) float64 { return value(limb, i) }))
	}
	band, aim := bare(s.Pass(2)), bare(s.Pass(1))
	for _, side := range model.Sides {
		draw(band, side, func(limb verdict.Limb, i int) float64 { return limb.Bend[i].Low })
		draw(band, side, func(limb verdict.Limb, i int) float64 { return limb.Bend[i].High })
		draw(aim, side, func(limb verdict.Limb, i int) float64 { return limb.Aim[i] })
	}
	for _, side := range model.Sides {
		draw(s.Pass(0), side, func(limb verdict.Limb, i int) float64 { return limb.Bend[i].Estimate })
	}
	return p
}

// lengths are places in inches.
func lengths(places []float64) []measure.Length {
	out := make([]measure.Length, len(places))
	for i, at := range places {
		out[i] = measure.Length(at)
	}
	return out
}

// bendLegend tells the curves of bendPlot apart.
func bendLegend(s look.Styles) string {
	return key(s, s.Pass(0), "bend") + "  " + key(s, bare(s.Pass(1)), "aim") + "  " + key(s, bare(s.Pass(2)), "90 % band")
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

// nextLines say what the bow will weigh and how far the next pull may go, and the caution that holds before
// each pull; where the readings say nothing yet, what it waits for.
func (b *bench) nextLines(width int) []string {
	s, story := b.desk.Styles, b.atWork.Story()
	says, err := b.says()
	var lines []string
	add := func(style lipgloss.Style, text string) { lines = append(lines, styled(style, text, width, 2)...) }
	told := err == nil && says.Read
	mark := b.staleMark()
	if told {
		// The mark is never cut.
		room := width
		if mark != "" {
			room = max(0, width-ansi.StringWidth(mark)-2)
			mark = "  " + s.Quiet.Render(mark)
		}
		lines = append(lines, ansi.Truncate(b.forecast(width), room, "~")+mark)
		if story.InHand {
			if next := says.SayNext(); next != "" {
				add(s.Strong, next)
			}
			lines = append(lines, planLines(s, says, width)...)
		}
	} else {
		lines = append(lines, s.Quiet.Render(mark), "")
	}
	cautions := []string{"stand clear"}
	if wanted, known := verdict.WantedOn(story.Bow(), b.advised.settings).Get(); known {
		cautions = append(cautions, fmt.Sprintf("never past %s", session.SayOrdered(story.Bow(), wanted)))
	}
	if waits := story.Waits(); waits != "" {
		cautions = append(cautions, fmt.Sprintf("waits for: %s", waits))
	}
	add(s.Caution, strings.Join(cautions, s.Dot()))
	// What is wrong now stands beside the caution that always holds, not in its place.
	if told && len(says.Cautions) > 0 {
		add(s.Bad, says.Cautions[0])
	}
	return lines
}

// forecast is what the bow will weigh, with how many uneven places there are, where there is room.
func (b *bench) forecast(width int) string {
	says := b.advised.advice
	said := says.SayForecast()
	if newest := b.atWork.Story().Pass().Number; b.pass != newest && said != "" {
		return fmt.Sprintf("the newest pass, %d: %s", newest, said)
	}
	if n := len(says.Findings); n > 0 && !b.bend {
		if more := "; " + plain.Plural(n, "%d uneven place (v)", "%d uneven places (v)", n); ansi.StringWidth(said+more) <= width {
			said += more
		}
	}
	return said
}
