package ui

import (
	"bytes"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/session"
	"bendbook/session/report"
	"bendbook/session/verdict"
)

// cardScreen shows the card that goes with a bow, and writes it to a file.
type cardScreen struct {
	reader
	desk  *Desk
	story session.Story
	f     verdict.Finishing
	doc   report.Document
	begun bool // what the readings say of the string is being worked out, or on the card
	form  int  // of the card's formats
}

func cardPage() page {
	return page{name: toCard,
		about: "The card for the bow's owner: what it is, and how to keep and shoot it.",
		open: func(desk *Desk, to route) (screen, error) {
			f, err := to.atWork.Finishing()
			story := to.atWork.Story()
			c := &cardScreen{desk: desk, story: story, f: f, doc: report.Card(story, f, nil)}
			c.lay = func(width int) string {
				if c.as().Name == "markdown" {
					return ansi.Wrap(c.doc.Markdown(), width, "")
				}
				return c.doc.TextIn(min(width, 72))
			}
			return c, err
		}}
}

func (c *cardScreen) background() tea.Cmd {
	if c.begun {
		return nil
	}
	c.begun = true
	desk, story := c.desk, c.story
	return func() tea.Msg {
		practice := desk.Shop.PracticeFor(story.Bow())
		says, err := desk.advise(verdict.Advice{}, story, practice.Settings, practice.Shape)
		return toldMsg(func() notice {
			if err == nil {
				c.doc = report.Card(story, c.f, &says)
			}
			return notice{}
		})
	}
}

func (c *cardScreen) name() string { return session.NameOf(c.story.Bow()) }

func (c *cardScreen) as() report.Format { return report.CardFormats()[c.form] }

func (c *cardScreen) title() (name, what, right string) {
	return c.name(), "the card that goes with it", c.as().Says
}

func (c *cardScreen) actions() []action {
	all := []action{
		{keys: "w", name: "write out", main: true,
			off:  func() string { return c.f.Cracked },
			long: "Write the card to a file in the folder where you started Bendbook.", do: c.write},
		{keys: "tab", name: "format", main: true,
			long: "Switch between text, Markdown and a web page.",
			do:   then(func() { c.form = (c.form + 1) % len(report.CardFormats()) })},
	}
	return append(append(all, c.scrolling()...), back("Go back."))
}

func (c *cardScreen) write() move {
	var text bytes.Buffer
	err := c.as().WriteCard(&text, c.doc)
	return move{say: c.desk.write("the card", report.Filename(c.name(), "bow")+c.as().CardPart(), text.Bytes(),
		err)}
}
