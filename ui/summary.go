package ui

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/charmbracelet/bubbles/viewport"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/session/filename"
	"bendbook/session/page"
	"bendbook/session/paper"
	"bendbook/session/summary"
)

// summaryScreen shows the summary of a session or of the whole bow in one of its forms, and writes it to a file.
type summaryScreen struct {
	keysOnly
	desk   *Desk
	story  session.Story
	number int // of the session; 0 is the whole bow
	form   int // among the forms of package paper; behind the last the tally sheet
	forms  []paper.Form
	doc    summary.Document // as text tells it
	raw    string           // what is shown of a form that is not text; "" for text
	page   viewport.Model
}

func newSummaryScreen(desk *Desk, story session.Story) *summaryScreen {
	m := &summaryScreen{desk: desk, story: story, number: len(story.Sessions), forms: paper.Forms(), page: viewport.New(80, 20)}
	m.load()
	return m
}

// tally says whether the tally sheet is chosen, which is of the bow and of no session.
func (m *summaryScreen) tally() bool { return m.form == len(m.forms) }

// load shows another summary, from its top.
func (m *summaryScreen) load() {
	m.raw, m.doc = "", m.document()
	switch {
	case m.tally():
		m.raw = "A sheet to print and fill in at the tree with a pencil: this bow's stations in the order in which the forms ask, so that it " +
			"is typed from top to bottom afterwards.\n\nw writes it, as a page for A4 or Letter."
	case m.forms[m.form].Name == "html":
		m.raw = "One page that needs nothing else, with pictures of the limbs, the bend, the force and the weight, to read on a phone or to print.\n" +
			"w writes it. It tells what the text tells:\n\n" + m.doc.TextIn(min(m.page.Width, 72))
	case m.forms[m.form].Name != "text":
		text, err := m.text()
		if err != nil {
			text = "It cannot be shown: " + err.Error()
		}
		// A table and JSON hold the maker's text as it is in the book.
		var shown []string
		for line := range strings.Lines(text) {
			indent := len(line) - len(strings.TrimLeft(line, " "))
			shown = append(shown, line[:indent]+plain.Line(line))
		}
		m.raw = strings.Join(shown, "\n")
	}
	m.wrap(m.page.Width)
	m.page.GotoTop()
}

// of is what is told.
func (m *summaryScreen) of() paper.Subject {
	return paper.Subject{Story: m.story, Session: m.number, Practice: advice.PracticeFor(m.desk.Shop, m.story.Bow().Wood), Shape: advice.ShapeFor(m.desk.Shop, m.story.Bow()), Place: m.desk.Place}
}

// document is it as a document.
func (m *summaryScreen) document() summary.Document {
	if doc, err := paper.Document(m.of()); err == nil {
		return doc
	}
	return summary.Whole(m.story, m.desk.Place)
}

// text is what is written to a file.
func (m *summaryScreen) text() (string, error) {
	var b strings.Builder
	if m.tally() {
		err := page.Tally(&b, m.story)
		return b.String(), err
	}
	err := m.forms[m.form].Write(&b, m.of())
	return b.String(), err
}

// wrap wraps what is shown to the window; what is written to a file keeps its own measure.
func (m *summaryScreen) wrap(width int) {
	m.page.Width = width
	if m.raw == "" {
		m.page.SetContent(m.doc.TextIn(min(width, 72)))
		return
	}
	m.page.SetContent(ansi.Wrap(m.raw, width, ""))
}

func (m *summaryScreen) title() (name, what, right string) {
	if m.tally() {
		return session.NameOf(m.story.Bow()), "tally sheet", "to print"
	}
	return session.NameOf(m.story.Bow()), "summary of " + m.which(), m.forms[m.form].Says
}

func (m *summaryScreen) which() string {
	if m.number == 0 {
		return "the whole bow"
	}
	return fmt.Sprintf("session %d of %d", m.number, len(m.story.Sessions))
}

func (m *summaryScreen) actions() []action {
	scroll := func(by func(int) []string, n int) func() move {
		return func() move { by(n); return move{} }
	}
	choose := func(by int) func() move {
		return func() move {
			n := len(m.story.Sessions) + 1
			m.number = (m.number + by + n) % n
			m.load()
			return move{}
		}
	}
	return []action{
		{keys: []string{"w"}, name: "write to a file", main: true, long: "Write what is shown to a file in the folder where Bendbook was started.",
			do: m.write},
		{keys: []string{"left"}, show: "left/right", name: "session", main: true, long: "Choose the session before, or the whole bow.", do: choose(-1)},
		{keys: []string{"right"}, name: "session after", long: "Choose the session after, or the whole bow.", do: choose(1)},
		{keys: []string{"m"}, name: "form", main: true,
			long: "Change the form: text, Markdown, web page with pictures, table (CSV), JSON, and the tally sheet to fill in at the tree.",
			do:   func() move { m.form = (m.form + 1) % (len(m.forms) + 1); m.load(); return move{} }},
		{keys: []string{"up", "k"}, show: "up/down", name: "scroll", main: true, long: "Scroll up.", do: scroll(m.page.ScrollUp, 1)},
		{keys: []string{"down", "j"}, name: "scroll down", long: "Scroll down.", do: scroll(m.page.ScrollDown, 1)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: func() move { m.page.PageUp(); return move{} }},
		{keys: []string{"pgdown", " "}, name: "page down", long: "Go down by a page.", do: func() move { m.page.PageDown(); return move{} }},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back.", do: func() move { return move{back: true} }},
	}
}

func (m *summaryScreen) write() move {
	ending, what := ".html", "tally"
	if !m.tally() {
		ending, what = m.forms[m.form].Ending, "story"
		if m.number > 0 {
			what = fmt.Sprintf("session-%d", m.number)
		}
	}
	text, err := m.text()
	if err != nil {
		return failed(fmt.Errorf("the summary was not written: %w", err))
	}
	path, err := m.desk.Save(filename.Of(session.NameOf(m.story.Bow()), "bow")+"-"+what+ending, []byte(text))
	if err != nil {
		return failed(fmt.Errorf("the summary was not written: %w", err))
	}
	return said("Written: %s in %s", plain.Line(filepath.Base(path)), plain.Line(filepath.Dir(path)))
}

// fit implements scroller.
func (m *summaryScreen) fit(width, height int) {
	if width != m.page.Width {
		m.wrap(width)
	}
	m.page.Height = height
	m.page.SetYOffset(m.page.YOffset)
}

func (m *summaryScreen) view(int, int) string { return m.page.View() }
