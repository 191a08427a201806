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
	desk *Desk
	name string
	doc  report.Document
	work func() report.Document // the same with what the readings say, nil once that is being worked out
	form int                    // of paper.Cards
}

func cardPage() page {
	return page{name: toCard,
		about: "The card for the bow's owner: what it is, and how to keep and shoot it.",
		open: func(desk *Desk, to route) (screen, error) {
			f, err := to.atWork.Finishing()
			story := to.atWork.Story()
			c := &cardScreen{desk: desk, name: session.NameOf(f.Bow), doc: report.Card(story, f, nil)}
			c.work = func() report.Document {
				practice := desk.Shop.PracticeFor(story.Bow())
				if says, err := desk.advise(verdict.Advice{}, story, practice.Settings, practice.Shape); err == nil {
					return report.Card(story, f, &says)
				}
				return c.doc
			}
			c.lay = func(width int) string {
				if c.as().Name == "markdown" {
					return ansi.Wrap(c.doc.Markdown(), width, "")
				}
				return c.doc.TextIn(min(width, 72))
			}
			return c, err
		}}
}

// background works out what the readings say of the string.
func (c *cardScreen) background() tea.Cmd {
	work := c.work
	if work == nil {
		return nil
	}
	c.work = nil
	return func() tea.Msg {
		doc := work()
		return toldMsg(func() notice {
			c.doc = doc
			return notice{}
		})
	}
}

func (c *cardScreen) as() report.Format { return report.CardFormats()[c.form] }

func (c *cardScreen) title() (name, what, right string) {
	return c.name, "the card that goes with it", c.as().Says
}

func (c *cardScreen) actions() []action {
	all := []action{
		{keys: "w", name: "write out", main: true,
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
	return move{say: c.desk.write("the card", report.Filename(c.name, "bow")+c.as().CardPart(), text.Bytes(),
		err)}
}
