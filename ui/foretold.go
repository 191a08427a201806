package ui

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/ui/graph"
	"bendbook/ui/look"
)

// How the advice is shown on the bench: what comes next, what the bow will weigh, and how it bends against the aim.

// findingLines are the findings in plain words, in n lines, or two more where they are too long for the width; what nobody can
// know yet where there are none.
func findingLines(s look.Styles, a advice.Advice, width, n int) []string {
	var lines []string
	for _, finding := range a.Findings {
		for _, line := range wrapped(finding.Says, width, 2) {
			lines = append(lines, s.Strong.Render(line))
		}
	}
	if len(lines) == 0 && len(a.Unsure) > 0 {
		lines = append(lines, s.Quiet.Render("The readings cannot show an uneven place yet. What would:"))
		var told []string
		for _, unsure := range a.Unsure {
			if slices.Contains(told, unsure.WouldSettle) {
				continue // the same on both limbs
			}
			told = append(told, unsure.WouldSettle)
			for _, line := range wrapped(unsure.WouldSettle, width, 3) {
				lines = append(lines, s.Quiet.Render(line))
			}
		}
	}
	if len(lines) == 0 {
		lines = append(lines, s.Good.Render("No flat spot and no hinge shows."))
	}
	n = max(n, min(len(lines), n+2))
	if len(lines) > n {
		lines = append(lines[:n-1], s.Quiet.Render("and more: a tells all"))
	}
	return lengthen(lines, n)
}

// bendPlot draws the bend at the ordered draw as estimated, its 90 % band, and the aim.
func bendPlot(s look.Styles, c curves, a advice.Advice, width, height int) graph.Plot {
	bow := a.Bow
	p := graph.Plot{Width: width, Height: height, ASCII: s.ASCII, Axis: s.Quiet, X: c.across(bow), XTicks: c.ticks(bow)}
	p.YLabel, p.YSteps = c.scale(bow)
	draw := func(pen look.Pen, side model.Side, value func(limb advice.Limb, i int) float64) {
		series := drawn(pen)
		limb := a.Limbs[side]
		for i, at := range limb.At {
			series.X = append(series.X, c.place(bow, side, measure.Length(at)))
			series.Y = append(series.Y, value(limb, i))
		}
		p.Series = append(p.Series, series)
	}
	band, aim := s.Pass(2), s.Pass(1)
	band.Point, aim.Point = 0, 0
	for _, side := range model.Sides {
		draw(band, side, func(limb advice.Limb, i int) float64 { return limb.Bend[i].Low })
		draw(band, side, func(limb advice.Limb, i int) float64 { return limb.Bend[i].High })
		draw(aim, side, func(limb advice.Limb, i int) float64 { return limb.Aim[i] })
	}
	for _, side := range model.Sides {
		draw(s.Pass(0), side, func(limb advice.Limb, i int) float64 { return limb.Bend[i].Estimate })
	}
	return p
}

// bendLegend tells the curves of bendPlot apart.
func bendLegend(s look.Styles) string {
	aim, band := s.Pass(1), s.Pass(2)
	aim.Point, band.Point = 0, 0
	return strings.Join([]string{
		fmt.Sprintf("%s bend", drawn(s.Pass(0)).Key(s.ASCII)), fmt.Sprintf("%s aim", drawn(aim).Key(s.ASCII)), drawn(band).Key(s.ASCII) + " " + "90 % band",
	}, "  ")
}

// deviations are how much more or less than the aim each station bends, in per cent with half the band's width; stations out
// of the comparison show a dash.
func deviations(s look.Styles, a advice.Advice) block {
	first := stationsWidth(a.Bow)
	head := right("at", first) + right("lower, %", 12) + right("upper, %", 12)
	b := block{width: ansi.StringWidth(head), lines: []string{s.Quiet.Render(head)}}
	cell := func(side model.Side, i int) string {
		limb := a.Limbs[side]
		if i < 0 || i >= len(limb.Deviation) || !limb.Compared[i] {
			return "-"
		}
		return sayDeviation(limb.Deviation[i])
	}
	for _, at := range session.Stations(a.Bow) {
		b.lines = append(b.lines, right(a.Bow.Ruler().Short(at.At), first)+
			right(cell(model.Lower, at.Index[model.Lower]), 12)+right(cell(model.Upper, at.Index[model.Upper]), 12))
	}
	return b
}

// sayDeviation is a deviation from the aim in per cent: -17 +-6.
func sayDeviation(f estimate.Figure) string {
	return fmt.Sprintf("%+.0f +-%.0f", 100*f.Estimate, 100*math.Abs(f.High-f.Low)/2)
}

// nextLines say what the bow will weigh and how far the next pull may go, and the caution that holds before each pull;
// where the readings say nothing yet, what it waits for.
func (b *bench) nextLines(width int) []string {
	s := b.desk.Styles
	story := b.atWork.Story()
	says, err := b.says()
	cautions := []string{"stand clear"}
	if wanted, known := advice.WantedOn(story.Bow(), b.reckoned.settings).Get(); known {
		cautions = append(cautions, fmt.Sprintf("never past %s", session.SayOrdered(story.Bow(), wanted)))
	}
	if waits := story.Waits(); waits != "" {
		cautions = append(cautions, fmt.Sprintf("waits for: %s", waits))
	}
	caution := wrapped(strings.Join(cautions, s.Dot()), width, 2)
	for i, line := range caution {
		caution[i] = s.Caution.Render(line)
	}
	mark := b.reckoningMark()
	if err != nil || !says.Read {
		if mark != "" {
			mark = s.Quiet.Render(mark)
		}
		return append([]string{mark, ""}, caution...)
	}
	said := says.SayForecast()
	if newest := story.Pass().Number; b.pass != newest && said != "" {
		said = fmt.Sprintf("the newest pass, %d: %s", newest, said)
	} else if n := len(says.Findings); n > 0 && !b.bend {
		if more := "; " + plain.Plural(n, "%d uneven place (v)", "%d uneven places (v)", n); ansi.StringWidth(said+more) <= width {
			said += more
		}
	}
	next := ""
	if story.InHand {
		next = says.SayNext()
	}
	lines := []string{besideMark(s, said, mark, width)}
	for _, line := range wrapped(next, width, 2) {
		lines = append(lines, s.Strong.Render(line))
	}
	if story.InHand {
		lines = append(lines, planLines(s, says, width)...)
	}
	lines = append(lines, caution...)
	// What is to be heeded now stands beside the caution that always holds, not in its place.
	if len(says.Cautions) > 0 {
		for _, line := range wrapped(says.Cautions[0], width, 2) {
			lines = append(lines, s.Bad.Render(line))
		}
	}
	return lines
}

// besideMark is a line with a quiet mark behind it, which is never cut; the line is where there is no room for both.
func besideMark(s look.Styles, text, mark string, width int) string {
	if mark == "" {
		return ansi.Truncate(text, width, "~")
	}
	return ansi.Truncate(text, max(0, width-ansi.StringWidth(mark)-2), "~") + "  " + s.Quiet.Render(mark)
}
