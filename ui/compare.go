package ui

import (
	"strings"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/form"
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

func (c *compareScreen) title() (name, what, right string) {
	return "Bendbook", "bows side by side", plain.Plural(len(c.bows), "%d bow", "%d bows", len(c.bows))
}

func (c *compareScreen) actions() []action {
	turn := func(by int) { c.left = max(0, c.left+by) }
	all := []action{
		{keys: "left", show: "left/right", name: "bows", main: true, do: by(-1, turn),
			long: "Show the bows before."},
		{keys: "right", name: "bows after", long: "Show the bows after.", do: by(1, turn)},
		{keys: "m", name: "make another", main: true, off: c.desk.mayWrite,
			long: "Make another like the first of the bows shown: a new bow with its order, size and aim.",
			do:   func() move { return c.desk.newBow(form.LikeForm(c.desk.Shop, c.bows[c.left])) }},
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
	var body []string
	for _, line := range c.lines {
		cells := line.Cells[c.left : c.left+len(widths)-1]
		if strings.Join(cells, "") != "" {
			body = append(body, strings.TrimRight(row(widths, append([]string{line.Name}, cells...)...), " "))
		}
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
