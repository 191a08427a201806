package ui

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/session/report"
)

// checksScreen holds the bow against its order: the draw in each way of measuring, the string, published rules, what the wood stands, and the
// weather where it goes.
type checksScreen struct {
	keysOnly
	desk  *Desk
	story session.Story
	parts []advice.Part
	at    int  // first line that is shown
	begun bool // what the readings say is being worked out, or told
}

func openChecks(desk *Desk, atWork *session.Bench) move {
	story := atWork.Story()
	parts, err := report.Checks(desk.Shop, story, nil)
	if err != nil {
		return failed(err)
	}
	return move{open: &checksScreen{desk: desk, story: story, parts: parts}}
}

// reckon implements reckoner.
func (c *checksScreen) reckon() tea.Cmd {
	if c.begun {
		return nil
	}
	c.begun = true
	shop, story := c.desk.Shop, c.story
	return func() tea.Msg {
		practice := advice.PracticeFor(shop, story.Bow())
		says, err := advise(advice.Advice{}, story, practice.Settings, practice.Shape)
		if err != nil {
			says.Read = false
		}
		parts, err := report.Checks(shop, story, &says)
		return toldMsg(func() notice {
			if err != nil {
				return notice{failing, err.Error()}
			}
			c.parts = parts
			return notice{}
		})
	}
}

func (c *checksScreen) about() string {
	return "The bow held against its order: its draw in each way of measuring, its string, the rules, what the wood stands, and how damp it is."
}

func (c *checksScreen) title() (name, what, right string) {
	return session.NameOf(c.story.Bow()), "held against its order", ""
}

func (c *checksScreen) actions() []action {
	scroll := func(by int) func() move { return func() move { c.at += by; return move{} } }
	return []action{
		{keys: []string{"up", "k"}, show: "up/down", name: "scroll", main: true, long: "Scroll up.", do: scroll(-1)},
		{keys: []string{"down", "j"}, name: "scroll down", long: "Scroll down.", do: scroll(1)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: scroll(-10)},
		{keys: []string{"pgdown", " "}, name: "page down", long: "Go down by a page.", do: scroll(10)},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back.", do: func() move { return move{back: true} }},
	}
}

func (c *checksScreen) view(width, height int) string {
	lines := partLines(c.desk, c.parts, width)
	c.at = max(0, min(c.at, len(lines)-height))
	return strings.Join(lines[c.at:min(c.at+height, len(lines))], "\n")
}

// partLines are headings and points, wrapped to the width.
func partLines(desk *Desk, parts []advice.Part, width int) []string {
	var lines []string
	for _, p := range parts {
		if len(lines) > 0 {
			lines = append(lines, "")
		}
		lines = append(lines, desk.Styles.Strong.Render(p.Heading))
		for _, text := range p.Texts {
			for i, line := range wrapped(text, width-4, 12) {
				lead := "- "
				if i > 0 {
					lead = "  "
				}
				lines = append(lines, lead+line)
			}
		}
	}
	return lines
}
