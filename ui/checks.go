package ui

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/session"
	"bendbook/session/report"
	"bendbook/session/verdict"
)

// checksScreen holds the bow against its order: the draw in each way of measuring, the string, published
// rules, what the wood stands, and the weather where it goes.
type checksScreen struct {
	reader
	desk  *Desk
	story session.Story
	parts []verdict.Part
	begun bool // what the readings say is being worked out, or told
}

func checksPage() page {
	return page{name: toChecks,
		about: "The bow against its order: the draw however you measure it, the string and the rules. And the " +
			"wood: its strain, and how damp it is.",
		open: func(desk *Desk, to route) (screen, error) {
			story := to.atWork.Story()
			parts, err := report.Checks(desk.Shop, story, nil)
			c := &checksScreen{desk: desk, story: story, parts: parts}
			c.lay = func(width int) string { return strings.Join(partLines(desk.Styles, c.parts, width), "\n") }
			return c, err
		}}
}

func (c *checksScreen) background() tea.Cmd {
	if c.begun {
		return nil
	}
	c.begun = true
	s, story, advise := c.desk.Shop, c.story, c.desk.advise
	return func() tea.Msg {
		practice := s.PracticeFor(story.Bow())
		says, err := advise(verdict.Advice{}, story, practice.Settings, practice.Shape)
		if err != nil {
			says.Read = false
		}
		parts, err := report.Checks(s, story, &says)
		return toldMsg(func() notice {
			if err != nil {
				return notice{failing, err.Error()}
			}
			c.parts = parts
			return notice{}
		})
	}
}

func (c *checksScreen) title() (name, what, right string) {
	return session.NameOf(c.story.Bow()), "held against its order", ""
}

func (c *checksScreen) actions() []action { return append(c.scrolling(), back("Go back.")) }
