package ui

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/report"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

// compareScreen sets bows side by side, and tells what the shop's finished bows of each kind come to.
type compareScreen struct {
	reader
	desk  *Desk
	bows  []session.Story
	lines []report.Line
	kinds []shop.Kind
	left  int // the first bow that is shown

	told    []verdict.Advice // of the bows, as far as they are worked out
	running bool
}

func comparePage() page {
	return page{name: toCompare,
		about: "Bows side by side: what was ordered, what they weigh, and what they took.",
		open: func(desk *Desk, to route) (screen, error) {
			c := &compareScreen{desk: desk}
			c.lay = c.body
			for _, id := range to.bows {
				story, err := desk.Shop.Story(id)
				if err != nil {
					return nil, err
				}
				c.bows = append(c.bows, story)
			}
			var err error
			if c.lines, err = report.Compare(desk.Shop, c.bows); err != nil {
				return nil, err
			}
			if c.kinds, err = desk.Shop.Kinds(); err != nil && len(c.kinds) == 0 {
				return nil, err
			}
			return c, nil
		}}
}

// background works out the strips, bow by bow.
func (c *compareScreen) background() tea.Cmd {
	if c.running || len(c.told) == len(c.bows) {
		return nil
	}
	c.running = true
	desk, story := c.desk, c.bows[len(c.told)]
	return func() tea.Msg {
		practice := desk.Shop.PracticeFor(story.Bow())
		// A bow that can't be worked out has no strip.
		says, _ := desk.advise(verdict.Advice{}, story, practice.Settings, practice.Shape)
		return toldMsg(func() notice {
			c.told, c.running = append(c.told, says), false
			return notice{}
		})
	}
}

func (c *compareScreen) title() (name, what, right string) {
	return "Bendbook", "bows side by side", plain.Plural(len(c.bows), "%d bow", "%d bows", len(c.bows))
}

func (c *compareScreen) actions() []action {
	turn := func(by int) { c.left = max(0, c.left+by) }
	all := []action{
		{keys: "left", show: "left/right", name: "bows", main: true, do: by(-1, turn),
			long: "Show the bows before."},
		{keys: "right", name: "bows after", long: "Show the bows after.", do: by(1, turn)},
	}
	return append(append(all, c.scrolling()...), back("Go back to the rack."))
}

// columns are the widths of the labels and of the bows that there is room for.
func (c *compareScreen) columns(width int) []int {
	const label, cell = 14, 18
	widths := []int{label}
	for range min(len(c.bows), max(1, (width-label)/(cell+2))) {
		widths = append(widths, cell)
	}
	return widths
}

// fit implements screen: the bows' names stay above what is scrolled.
func (c *compareScreen) fit(width, height int) {
	c.left = min(c.left, len(c.bows)-len(c.columns(width))+1)
	c.reader.fit(width, height-1)
}

func (c *compareScreen) view(width, height int) string {
	widths := c.columns(width)
	heads := []string{""}
	for i := range widths[1:] {
		heads = append(heads, session.NameOf(c.bows[c.left+i].Bow()))
	}
	return c.desk.Styles.Strong.Render(strings.TrimRight(row(widths, heads...), " ")) + "\n" +
		c.reader.view(width, height-1)
}

func (c *compareScreen) body(width int) string {
	widths := c.columns(width)
	body := c.strips(width)
	for i := range widths[1:] {
		bow := c.bows[c.left+i]
		body = append(body, fitted(session.SayLesson(bow.Bow(), bow.Lesson()), width, 4)...)
	}
	var alike []string
	for _, line := range c.lines {
		cells := line.Cells[c.left : c.left+len(widths)-1]
		switch {
		case strings.Join(cells, "") == "":
		case len(cells) > 1 && len(slices.Compact(slices.Clone(cells))) == 1:
			alike = append(alike, line.Name+" "+cells[0])
		default:
			body = append(body, strings.TrimRight(row(widths, append([]string{line.Name}, cells...)...), " "))
		}
	}
	if len(alike) > 0 {
		body = append(body, wrapped("Alike: "+strings.Join(alike, ", ")+".", width, 4)...)
	}
	if len(c.kinds) > 0 {
		var texts []string
		for _, kind := range c.kinds {
			texts = append(texts, report.SayKind(kind))
		}
		finished := []verdict.Part{{Heading: "The shop's finished bows", Texts: texts}}
		body = append(append(body, ""), partLines(c.desk.Styles, finished, width)...)
	}
	return strings.Join(body, "\n")
}

// strips are those of the bows' last passes, one above the other.
func (c *compareScreen) strips(width int) (lines []string) {
	const lead = 16
	s := c.desk.Styles
	for i, a := range c.told {
		if len(a.Strips) == 0 {
			continue
		}
		last := a.Strips[len(a.Strips)-1]
		columns := stripColumns(a, width-lead-ansi.StringWidth(stripCells(s, last)), unevenColumn)
		if len(lines) == 0 {
			lines = append(lines, stripHead(s, a, strings.Repeat(" ", lead), columns))
		}
		lines = append(lines, stripLine(s, last, left(session.NameOf(c.bows[i].Bow()), lead-2)+"  ", columns))
	}
	if len(c.told) < len(c.bows) {
		lines = append(lines, s.Quiet.Render("working it out..."))
	} else if len(lines) > 0 {
		lines = append(lines, stripLegend(s, width))
	}
	return append(lines, "")
}
