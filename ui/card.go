package ui

import (
	"bytes"

	"github.com/charmbracelet/x/ansi"

	"bendbook/session"
	"bendbook/session/report"
)

// cardScreen shows the card that goes with a bow, and writes it to a file.
type cardScreen struct {
	reader
	desk *Desk
	name string
	doc  report.Document
	form int // of paper.Cards
}

func cardPage() page {
	return page{name: toCard,
		about: "The card that goes with the bow to its owner: what it is, and how it is kept and shot.",
		open: func(desk *Desk, to route) (screen, error) {
			f, err := to.atWork.Finishing()
			c := &cardScreen{desk: desk, name: session.NameOf(f.Bow), doc: report.Card(to.atWork.Story(), f)}
			c.lay = func(width int) string {
				if c.as().Name == "markdown" {
					return ansi.Wrap(c.doc.Markdown(), width, "")
				}
				return c.doc.TextIn(min(width, 72))
			}
			return c, err
		}}
}

func (c *cardScreen) as() report.Format { return report.CardFormats()[c.form] }

func (c *cardScreen) title() (name, what, right string) {
	return c.name, "the card that goes with it", c.as().Says
}

func (c *cardScreen) actions() []action {
	all := []action{
		{keys: "w", name: "write out", main: true,
			long: "Write the card to a file in the folder where Bendbook was started.", do: c.write},
		{keys: "tab", name: "format", main: true,
			long: "Change between text, Markdown and a web page, which is shown as text.",
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
