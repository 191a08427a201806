package ui

import (
	"fmt"
	"path/filepath"

	"github.com/charmbracelet/bubbles/viewport"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/card"
	"bendbook/session/summary"
)

// cardScreen shows the card that goes with a bow, and writes it to a file.
type cardScreen struct {
	keysOnly
	desk     *Desk
	name     string
	doc      summary.Document
	markdown bool
	page     viewport.Model
}

func openCard(desk *Desk, atWork *session.Bench) move {
	f, err := atWork.Finishing()
	if err != nil {
		return failed(err)
	}
	c := &cardScreen{desk: desk, name: session.NameOf(f.Bow), doc: card.Of(atWork.Story(), f), page: viewport.New(80, 20)}
	c.fit(80)
	return move{open: c}
}

func (c *cardScreen) text() string {
	if c.markdown {
		return c.doc.Markdown()
	}
	return c.doc.Text()
}

func (c *cardScreen) fit(width int) {
	c.page.Width = width
	if c.markdown {
		c.page.SetContent(ansi.Wrap(c.text(), width, ""))
		return
	}
	c.page.SetContent(c.doc.TextIn(min(width, 72)))
}

func (c *cardScreen) title() (name, what, right string) {
	if c.markdown {
		return c.name, "the card that goes with it", "Markdown"
	}
	return c.name, "the card that goes with it", "text"
}

func (c *cardScreen) actions() []action {
	scroll := func(by func(int) []string) func() move { return func() move { by(1); return move{} } }
	return []action{
		{keys: []string{"w"}, name: "write to a file", main: true, long: "Write the card to a file in the folder where Bendbook was started.", do: c.write},
		{keys: []string{"m"}, name: "markdown", main: true, long: "Change between text and Markdown.",
			do: func() move { c.markdown = !c.markdown; c.fit(c.page.Width); return move{} }},
		{keys: []string{"up", "k"}, show: "up/down", name: "scroll", main: true, long: "Scroll up.", do: scroll(c.page.ScrollUp)},
		{keys: []string{"down", "j"}, name: "scroll down", long: "Scroll down.", do: scroll(c.page.ScrollDown)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: func() move { c.page.PageUp(); return move{} }},
		{keys: []string{"pgdown", " "}, name: "page down", long: "Go down by a page.", do: func() move { c.page.PageDown(); return move{} }},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back.", do: func() move { return move{back: true} }},
	}
}

func (c *cardScreen) write() move {
	ending := ".txt"
	if c.markdown {
		ending = ".md"
	}
	path, err := c.desk.Save(fileName(c.name)+"-card"+ending, []byte(c.text()))
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
