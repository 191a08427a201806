package ui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/verdict"
)

// How the bench is drawn; its keys are in bench.go.

func (b *bench) shown() curves {
	most := 3
	if b.bend {
		most = 2 // rough as it is, more would only hide one another
	}
	story := b.story()
	passes := withPose(story, b.pose, b.pass, most)
	if len(passes) == 0 {
		passes = []int{b.pass}
	}
	return curves{story: story, pose: b.pose, passes: passes, bend: b.bend, laid: b.laid}
}

func (b *bench) figures(c curves, width int) block {
	if b.foretold() {
		return deviations(b.desk.Styles, b.advice)
	}
	return numbers(b.desk.Styles, c, width >= 100)
}

func (b *bench) fit(width, height int) {
	if b.posed {
		b.row = inRows(b.row, len(b.figures(b.shown(), width).lines), height-len(b.foot(width, height))-1)
	}
}

func (b *bench) view(width, height int) string {
	foot := b.foot(width, height)
	if !b.posed {
		lines := []string{"", "  Nothing was read on this bow yet.", "",
			"  Type the first draw, or press Enter, and the pull's form asks for the rest.",
			"  Digits and Enter are all it needs; Enter alone leaves a reading out."}
		return strings.Join(append(lengthen(lines, height-len(foot)), foot...), "\n")
	}
	c := b.shown()
	const gap = 2
	picture := height - len(foot) - 1
	table := b.figures(c, width)
	graphWidth := width - table.width - gap
	table.lines = scrolled(table.lines, b.row, picture)
	lines := []string{b.caption(c, width), beside(gap, block{graphWidth, b.drawing(c, graphWidth, picture)},
		table)}
	return strings.Join(append(lines, foot...), "\n")
}

// foretold says whether the bend is shown as estimated; that of an earlier pass is told by differences alone.
func (b *bench) foretold() bool {
	return b.bend && b.err == nil && b.advice.Read && b.advice.Bends() && b.pass == b.story().Pass().Number
}

// drawing is the bend as foretold, or the curves that were read, in lines of the width and height given.
func (b *bench) drawing(c curves, width, height int) []string {
	s := b.desk.Styles
	switch {
	case b.foretold():
		return strings.Split(bendPlot(s, c, b.advice, width, height).Render(), "\n")
	case c.bend && !c.any():
		text := "  No bend can be told from these readings: it takes three neighbouring stations, or two and the " +
			"limb root where it is read to the line."
		return lengthen(append([]string{""}, wrapped(text, width, 6)...), height)
	}
	return strings.Split(c.plot(s, width, height).Render(), "\n")
}

func (b *bench) caption(c curves, width int) string {
	s := b.desk.Styles
	rule, unit, legend := c.story.Bow().Ruler(), bendLength(c.story.Bow()), c.legend(s)
	what := b.pose.Label(rule) + ", " + b.pose.Datum()
	switch {
	case b.foretold():
		draw := rule.WithUnit(measure.Length(b.advice.Draw))
		what, legend = fmt.Sprintf("bend at %s, 1/1000 per %s", draw, unit), bendLegend(s)
	case b.bend:
		what = fmt.Sprintf("bend in 1/1000 per %s, %s, rough", unit, b.pose.Label(rule))
	}
	text := s.Strong.Render(what) + "   " + legend
	if c.passes[0] != b.pass {
		text += s.Quiet.Render(fmt.Sprintf("   pass %d not read so", b.pass))
	}
	return ansi.Truncate(text, width, "~")
}

// foot is what stands under the picture: the tiller, the peaks or what the bend says, and what comes next.
func (b *bench) foot(width, height int) []string {
	s := b.desk.Styles
	lines := []string{s.Rule(width), tillerLine(s, b.story(), b.pass, width)}
	rows := max(2, min(3, (height-14)/2))
	if height >= 30 {
		rows = 5
	}
	if b.foretold() {
		lines = append(lines, findingLines(s, b.advice, width, rows)...)
	} else {
		lines = append(lines, peakLines(s, b.story(), b.pass, width, rows)...)
	}
	return append(lines, b.nextLines(width)...)
}

// nextLines say what the bow will weigh and how far the next pull may go, and the caution that holds before
// each pull; where the readings say nothing yet, what it waits for.
func (b *bench) nextLines(width int) []string {
	s, story := b.desk.Styles, b.story()
	says, err := b.advice, b.err
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
			if p, ok := says.Plan.Get(); ok {
				line := strings.TrimSuffix(p.Line, ".")
				text := line + "; g: the whole plan"
				if ansi.StringWidth(text) > width {
					text = line + "; g: plan"
				}
				lines = append(lines, styled(verdictStyle(s, p), text, width, 2)...)
			}
		}
	} else {
		lines = append(lines, s.Quiet.Render(mark), "")
	}
	cautions := []string{"stand clear"}
	if wanted, known := verdict.WantedOn(story.Bow(), b.settings).Get(); known {
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
	says := b.advice
	said := says.SayForecast()
	if newest := b.story().Pass().Number; b.pass != newest && said != "" {
		return fmt.Sprintf("the newest pass, %d: %s", newest, said)
	}
	n := len(says.Findings)
	more := "; " + plain.Plural(n, "%d uneven place (v)", "%d uneven places (v)", n)
	if n > 0 && !b.bend && ansi.StringWidth(said+more) <= width {
		said += more
	}
	return said
}

// across implements acrosser: the next draw, the stop line, the last peak, and what to read next.
func (b *bench) across(width, height int) string {
	s := b.desk.Styles
	story := b.story()
	bow := story.Bow()
	says, err := b.advice, b.err
	known := err == nil && b.fresh() && says.Read
	unit := bow.Units.Force.Symbol()
	next := headline{label: "NEXT", figure: "...", style: s.Accent, main: true}
	stop := headline{label: "STOP", figure: "-", unit: unit, style: s.Caution}
	last := headline{label: "LAST", figure: "-", unit: unit, style: s.Strong}
	turn := headline{label: "NOW", style: s.Strong}
	switch to, ok := says.Next.Get(); {
	case b.fresh() && (!known || !ok):
		next.figure = "-"
	case known && to.Draw <= 0:
		next.figure = "NO PULL"
	case known:
		next.figure, next.unit = bow.Ruler().Short(measure.Length(to.Draw)), string(bow.Units.Length)
	}
	if wanted, ok := verdict.WantedOn(bow, b.settings).Get(); ok {
		stop.figure = bow.Weigher().Short(wanted)
	}
	if pull, ok := story.LastPull(); ok {
		if peak, weighed := pull.Peak.Get(); weighed {
			last.figure = bow.Weigher().Print(peak)
		}
	}
	to := story.Turn()
	far := measure.Length(says.Next.Or(verdict.NextPull{}).Draw) > story.LongestDraw()
	switch {
	case to == session.TurnPull && known && len(says.Removal) > 0 && !far:
		to = session.TurnScrape
	case to == session.TurnBraced:
		turn.label = "READ"
	}
	turn.figure = strings.ToUpper(string(to))
	return poster(s, []headline{next, stop, last, turn}, nil, width, height)
}
