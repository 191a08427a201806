package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/session/sheet"
	"bendbook/ui/digits"
	"bendbook/ui/look"
)

// How a screen is written across the shop: what matters now, and nothing else, in block figures as high as the window allows. The keys
// stay as they are.

// acrosser is a screen that can be written so.
type acrosser interface {
	// across is exactly what view is, in block figures.
	across(width, height int) string
}

// largeKeys write a screen across the shop, and as usual again. None of them types anything, so that they serve in forms too.
var largeKeys = []string{"f2", "ctrl+l"}

// enlarge is the action behind largeKeys; more are keys for it on this screen alone.
func enlarge(more ...string) action {
	return action{keys: append(more, largeKeys...), name: "large", main: true,
		long: "Fill the window with what matters now, to be read from across the shop, and show the screen as usual again. All keys stay as they are.",
		do:   func() move { return move{enlarge: true} }}
}

// headline is one line across the shop: a word, a figure and its unit.
type headline struct {
	label, figure, unit string
	style               lipgloss.Style // of the figure
	main                bool           // it matters most
}

// posterSizes are what lines are written in, from the least on. A laptop's screen of 13 in is some 180 mm high, so at 3 m a character of 20
// minutes of arc, which is what ISO 9241-303 asks for to read with ease (from memory, as are its 16 minutes at the least), takes a tenth of a
// window that fills it: Small is enough for 24 rows, Large for 50, Huge for 100.
var posterSizes = []digits.Size{digits.Small, digits.Large, digits.Huge}

// poster writes lines as high as they fit into the window, the main one first and then from the top; below them, where there is room, plain
// ones.
func poster(s look.Styles, lines []headline, below []string, width, height int) string {
	sizes := make([]digits.Size, len(lines))
	for i := range sizes {
		sizes[i] = posterSizes[0]
	}
	rows, _ := posterOf(s, lines, sizes, width)
	order := make([]int, len(lines))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rank(lines[a]), rank(lines[b])) })
	for _, size := range posterSizes[1:] {
		for _, i := range order {
			was := sizes[i]
			sizes[i] = size
			if larger, fit := posterOf(s, lines, sizes, width); fit && len(larger)+len(below) <= height {
				rows = larger
				continue
			}
			sizes[i] = was
		}
	}
	// Where not all has room, the figures go before what is said below them.
	rows = rows[:min(len(rows), height)]
	below = below[:min(len(below), height-len(rows))]
	return strings.Join(append(lengthen(rows, height-len(below)), below...), "\n")
}

func rank(line headline) int {
	if line.main {
		return 0
	}
	return 1
}

// posterOf are the rows of the lines in their sizes; fit is false where one of them is too wide.
func posterOf(s look.Styles, lines []headline, sizes []digits.Size, width int) (rows []string, fit bool) {
	// Labels stand in a column of their own for each size.
	labels := make(map[digits.Size]int)
	for i, line := range lines {
		if line.label != "" {
			size := sizes[i].Slim()
			labels[size] = max(labels[size], digits.Width(line.label, size))
		}
	}
	fit = true
	for i, line := range lines {
		size := sizes[i]
		label := 0
		if line.label != "" {
			label = labels[size.Slim()]
		}
		block, ok := line.write(s, size, label, width)
		fit = fit && ok
		if i > 0 && size.Height() == float64(size.Rows()) {
			rows = append(rows, "")
		}
		rows = append(rows, block...)
	}
	return rows, fit
}

// write is a line in a size, its label in a column of so many cells; ok is false where it is too wide also when it is drawn slim and without
// its unit. It is then written in plain letters.
func (h headline) write(s look.Styles, size digits.Size, label, width int) (rows []string, ok bool) {
	const margin, gap = 2, 2
	slim := size.Slim()
	at := margin
	if label > 0 {
		at += label + gap
	}
	for _, way := range []struct {
		size digits.Size
		unit string
	}{{size, h.unit}, {slim, h.unit}, {slim, ""}} {
		need := at + digits.Width(h.figure, way.size)
		if way.unit != "" {
			need += gap + digits.Width(way.unit, slim)
		}
		if need > width {
			continue
		}
		figure := strings.Split(digits.Render(h.figure, way.size, s.ASCII), "\n")
		name := strings.Split(digits.Render(h.label, slim, s.ASCII), "\n")
		unit := strings.Split(digits.Render(way.unit, slim, s.ASCII), "\n")
		rows = make([]string, size.Rows())
		for i := range rows {
			row := strings.Repeat(" ", margin)
			if label > 0 {
				row += s.Quiet.Render(left(name[i], label)) + strings.Repeat(" ", gap)
			}
			row += h.style.Render(figure[i])
			if way.unit != "" {
				row += strings.Repeat(" ", gap) + s.Quiet.Render(unit[i])
			}
			rows[i] = row
		}
		return rows, true
	}
	return []string{ansi.Truncate(strings.TrimSpace(h.label+"  "+h.figure+" "+h.unit), width, "~")}, false
}

// across implements acrosser: the next draw, the stop line, the last peak, and what to read next.
func (b *bench) across(width, height int) string {
	s := b.desk.Styles
	story := b.atWork.Story()
	bow := story.Bow()
	says, err := b.says()
	known := err == nil && b.fresh() && says.Read
	next, stop := headline{label: "NEXT", figure: "...", style: s.Accent, main: true}, headline{label: "STOP", figure: "-", unit: bow.Units.Force.Symbol(), style: s.Caution}
	switch to, ok := says.Next.Get(); {
	case b.fresh() && (!known || !ok):
		next.figure = "-"
	case known && to.Draw <= 0:
		next.figure = "NO PULL"
	case known:
		next.figure, next.unit = bow.Ruler().Short(measure.Length(to.Draw)), string(bow.Units.Length)
	}
	if wanted, ok := advice.WantedOn(bow, b.reckoned.settings).Get(); ok {
		stop.figure = bow.Weigher().Short(wanted)
	}
	last := headline{label: "LAST", figure: "-", unit: bow.Units.Force.Symbol(), style: s.Strong}
	if pull, ok := story.LastPull(); ok {
		if peak, weighed := pull.Peak.Get(); weighed {
			last.figure = bow.Weigher().Print(peak)
		}
	}
	label, then := "NOW", story.Turn()
	if then == session.TurnPull && known && len(says.Removal) > 0 && measure.Length(says.Next.Or(advice.NextPull{}).Draw) <= story.LongestDraw() {
		then = session.TurnScrape
	}
	if then == session.TurnBraced {
		label = "READ"
	}
	return poster(s, []headline{next, stop, last, {label: label, figure: strings.ToUpper(string(then)), style: s.Strong}}, nil, width, height)
}

// across implements acrosser: what is asked, what is typed, what it was, and whether it was refused.
func (f *form) across(width, height int) string {
	s := f.desk.Styles
	q, ok := f.sheet.Current()
	if !ok {
		return ""
	}
	asked := headline{figure: across(q.Label, q.Unit), style: s.Strong}
	for _, side := range model.Sides {
		if q.Group == fmt.Sprintf("%s limb", side.String()) {
			asked.label = strings.ToUpper(side.String())
		}
	}
	lines := []headline{asked, {figure: across(f.shown(), q.Unit), style: s.Accent, main: true}}
	if was := f.sheet.Was(f.sheet.At()); was != "" {
		lines = append(lines, headline{label: "WAS", figure: across(plain.Line(was), q.Unit), style: s.Quiet})
	}
	below := f.judgement(q, width)
	if word := verdictWord(f.verdict.State); word != "" {
		lines = append(lines, headline{figure: word, style: s.Bad})
	} else {
		below = append(below[:1], s.Quiet.Render(ansi.Truncate(f.sheet.Heard(f.input.Value()), width, "~")))
	}
	if f.sheet.Caution != "" {
		below = append(below, s.Caution.Render(ansi.Truncate(f.sheet.Caution, width, "~")))
	}
	return poster(s, lines, below, width, height)
}

// verdictWord says across the shop how an answer was taken; "" where it was, or was not judged yet.
func verdictWord(state sheet.State) string {
	switch state {
	case sheet.Refused:
		return "NO"
	case sheet.Asked:
		return "SURE?"
	}
	return ""
}

// across is text as block figures show it: words in capitals, a measure with its unit's own letters.
func across(text, unit string) string {
	if isMeasure(text) || unit != "" && strings.HasSuffix(text, " "+unit) {
		return text
	}
	return strings.ToUpper(text)
}
