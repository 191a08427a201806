package ui

import (
	"strings"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/session/report"
	"bendbook/session/sheet"
)

// compareScreen sets bows side by side, and tells what the shop's finished bows of each kind come to.
type compareScreen struct {
	keysOnly
	desk  *Desk
	bows  []session.Story
	lines []report.Line
	kinds []session.Kind
	left  int // the first bow that is shown
	down  int // the first line
}

func openCompare(desk *Desk, ids []string) move {
	c := &compareScreen{desk: desk}
	for _, id := range ids {
		story, err := desk.Shop.Story(id)
		if err != nil {
			return failed(err)
		}
		c.bows = append(c.bows, story)
	}
	var err error
	if c.lines, err = report.Compare(desk.Shop, c.bows); err != nil {
		return failed(err)
	}
	if c.kinds, err = desk.Shop.Kinds(); err != nil && len(c.kinds) == 0 {
		return failed(err)
	}
	return move{open: c}
}

func (c *compareScreen) about() string {
	return "Bows side by side: what was ordered, what they weigh, and what they took."
}

func (c *compareScreen) title() (name, what, right string) {
	return "Bendbook", "bows side by side", plain.Plural(len(c.bows), "%d bow", "%d bows", len(c.bows))
}

func (c *compareScreen) actions() []action {
	step := func(at *int, by int) func() move {
		return func() move { *at = max(0, *at+by); return move{} }
	}
	return []action{
		{keys: []string{"left"}, show: "left/right", name: "bows", main: true, long: "Show the bows before.", do: step(&c.left, -1)},
		{keys: []string{"right"}, name: "bows after", long: "Show the bows after.", do: step(&c.left, 1)},
		{keys: []string{"up", "k"}, show: "up/down", name: "scroll", main: true, long: "Scroll up.", do: step(&c.down, -1)},
		{keys: []string{"down", "j"}, name: "scroll down", long: "Scroll down.", do: step(&c.down, 1)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: step(&c.down, -10)},
		{keys: []string{"pgdown", " "}, name: "page down", long: "Go down by a page.", do: step(&c.down, 10)},
		{keys: []string{"m"}, name: "make another", main: true, off: c.desk.mayWrite, long: "Make another like the first of the bows shown: a new bow with its order, size and aim.",
			do: func() move { return openLike(c.desk, c.bows[c.left]) }},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back to the rack.", do: func() move { return move{back: true} }},
	}
}

// openLike asks for a new bow, filled in with what another was.
func openLike(desk *Desk, story session.Story) move {
	filling, err := sheet.LikeForm(desk.Shop, story)
	return openForm(showForm(desk, filling, err, func(kept sheet.Kept) move { return toNewBow(desk, kept) }))
}

func (c *compareScreen) view(width, height int) string {
	s := c.desk.Styles
	const label, cell = 14, 18
	shown := max(1, (width-label)/(cell+2))
	c.left = max(0, min(c.left, len(c.bows)-shown))
	bows := c.bows[c.left:min(c.left+shown, len(c.bows))]
	widths, heads := []int{label}, []string{""}
	for _, story := range bows {
		widths, heads = append(widths, cell), append(heads, session.NameOf(story.Bow()))
	}
	var body []string
	for _, line := range c.lines {
		cells := []string{line.Name}
		any := false
		for i := range bows {
			text := line.Cells[c.left+i]
			cells, any = append(cells, text), any || text != ""
		}
		if any {
			body = append(body, strings.TrimRight(row(widths, cells...), " "))
		}
	}
	if len(c.kinds) > 0 {
		var texts []string
		for _, kind := range c.kinds {
			texts = append(texts, report.SayKind(kind))
		}
		body = append(body, "")
		body = append(body, partLines(c.desk, []advice.Part{{Heading: "The shop's finished bows", Texts: texts}}, width)...)
	}
	room := max(1, height-1)
	c.down = max(0, min(c.down, len(body)-room))
	head := s.Strong.Render(strings.TrimRight(row(widths, heads...), " "))
	return strings.Join(append([]string{head}, body[c.down:min(c.down+room, len(body))]...), "\n")
}
