package ui

import (
	"bytes"
	"fmt"
	"path/filepath"

	"github.com/charmbracelet/bubbles/viewport"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/report"
)

// cardScreen shows the card that goes with a bow, and writes it to a file.
type cardScreen struct {
	keysOnly
	desk *Desk
	name string
	doc  report.Document
	form int // of report.CardFormats
	page viewport.Model
}

func openCard(desk *Desk, atWork *session.Bench) move {
	f, err := atWork.Finishing()
	if err != nil {
		return failed(err)
	}
	c := &cardScreen{desk: desk, name: session.NameOf(f.Bow), doc: report.Card(atWork.Story(), f), page: viewport.New(80, 20)}
	c.fit(80)
	return move{open: c}
}

// as is the form in which the card is shown and written.
func (c *cardScreen) as() report.Format { return report.CardFormats()[c.form] }

func (c *cardScreen) fit(width int) {
	c.page.Width = width
	if c.as().Name == "markdown" {
		c.page.SetContent(ansi.Wrap(c.doc.Markdown(), width, ""))
		return
	}
	c.page.SetContent(c.doc.TextIn(min(width, 72)))
}

func (c *cardScreen) about() string {
	return "The card that goes with the bow to its owner: what it is, and how it is kept and shot."
}

func (c *cardScreen) title() (name, what, right string) {
	return c.name, "the card that goes with it", c.as().Says
}

func (c *cardScreen) actions() []action {
	scroll := func(by func(int) []string) func() move { return func() move { by(1); return move{} } }
	return []action{
		{keys: []string{"w"}, name: "write to a file", main: true, long: "Write the card to a file in the folder where Bendbook was started.", do: c.write},
		{keys: []string{"m"}, name: "form", main: true, long: "Change between text, Markdown and a web page, which is shown as text.",
			do: func() move { c.form = (c.form + 1) % len(report.CardFormats()); c.fit(c.page.Width); return move{} }},
		{keys: []string{"up", "k"}, show: "up/down", name: "scroll", main: true, long: "Scroll up.", do: scroll(c.page.ScrollUp)},
		{keys: []string{"down", "j"}, name: "scroll down", long: "Scroll down.", do: scroll(c.page.ScrollDown)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: func() move { c.page.PageUp(); return move{} }},
		{keys: []string{"pgdown", " "}, name: "page down", long: "Go down by a page.", do: func() move { c.page.PageDown(); return move{} }},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back.", do: func() move { return move{back: true} }},
	}
}

func (c *cardScreen) write() move {
	var text bytes.Buffer
	if err := c.as().WriteCard(&text, c.doc); err != nil {
		return failed(fmt.Errorf("the card was not written: %w", err))
	}
	path, err := c.desk.Save(report.Filename(c.name, "bow")+c.as().CardPart(), text.Bytes())
	if err != nil {
		return failed(fmt.Errorf("the card was not written: %w", err))
	}
	return said("Written: %s in %s", plain.Line(filepath.Base(path)), plain.Line(filepath.Dir(path)))
}

func (c *cardScreen) view(width, height int) string {
	if width != c.page.Width {
		c.fit(width)
	}
	c.page.Height = height
	return c.page.View()
}
