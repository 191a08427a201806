package ui

import (
	"fmt"
	"path/filepath"
	"strings"
	"sync"

	"github.com/charmbracelet/bubbles/viewport"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/session/report"
)

// summaryScreen shows the summary of a session or of the whole bow in one of its forms, and writes it to a file. What the readings say
// is worked out beside the keys' way.
type summaryScreen struct {
	keysOnly
	desk   *Desk
	story  session.Story
	number int // of the session; 0 is the whole bow
	form   int // among the formats of package report; behind the last the tally sheet
	forms  []report.Format
	doc    report.Document // as text tells it
	raw    string          // what is shown of a form that is not text; "" for text
	page   viewport.Model
	// practice is what the shop goes by, asked for beside the keys' way, and looked up once.
	practice func() advice.Practice

	asked   int  // which summary was asked for last
	begun   int  // which is being worked out
	told    int  // which is shown
	writing bool // it is to be written to a file
}

func newSummaryScreen(desk *Desk, story session.Story) *summaryScreen {
	return &summaryScreen{
		desk: desk, story: story, number: len(story.Sessions), forms: report.Formats(), page: viewport.New(80, 20), asked: 1,
		practice: sync.OnceValue(func() advice.Practice { return advice.PracticeFor(desk.Shop, story.Bow()) }),
	}
}

// tally says whether the tally sheet is chosen, which is of the bow and of no session.
func (m *summaryScreen) tally() bool { return m.form == len(m.forms) }

// reckon implements reckoner.
func (m *summaryScreen) reckon() tea.Cmd {
	var work []tea.Cmd
	one := *m // as it is chosen now
	if m.begun != m.asked {
		m.begun = m.asked
		work = append(work, func() tea.Msg {
			doc, raw := one.load()
			return toldMsg(func() notice { m.take(one.asked, doc, raw); return notice{} })
		})
	}
	if m.writing {
		m.writing = false
		work = append(work, func() tea.Msg {
			text, err := one.text()
			return toldMsg(func() notice { return one.save(text, err) })
		})
	}
	return tea.Batch(work...)
}

// take shows a summary from its top, unless another was asked for meanwhile.
func (m *summaryScreen) take(which int, doc report.Document, raw string) {
	if which != m.asked {
		return
	}
	m.told, m.doc, m.raw = which, doc, raw
	m.wrap(m.page.Width)
	m.page.GotoTop()
}

// load is the summary as text tells it, and what is shown of it in another form; "" for text.
func (m *summaryScreen) load() (doc report.Document, raw string) {
	doc = m.document()
	switch {
	case m.tally():
		raw = report.TallySheet + "\n\n" + "w writes it, as a page for A4 or Letter."
	case m.forms[m.form].Name == "html":
		raw = fmt.Sprintf("One page that needs nothing else, with pictures of the limbs, the bend, the force and the weight, to read on a phone or to print.\nw writes it. It tells what the text tells:\n\n%s", doc.TextIn(min(m.page.Width, 72)))
	case m.forms[m.form].Name != "text":
		text, err := m.text()
		if err != nil {
			text = fmt.Sprintf("It cannot be shown: %s", err.Error())
		}
		// A table and JSON hold the maker's text as it is in the book.
		var shown []string
		for line := range strings.Lines(text) {
			indent := len(line) - len(strings.TrimLeft(line, " "))
			shown = append(shown, line[:indent]+plain.Line(line))
		}
		raw = strings.Join(shown, "\n")
	}
	return doc, raw
}

// of is what is told.
func (m *summaryScreen) of() report.Subject {
	return report.Subject{Story: m.story, Session: m.number, Practice: m.practice(), Place: m.desk.Place}
}

// document is it as a document.
func (m *summaryScreen) document() report.Document {
	// The session is one of the story's, so it is always found.
	doc, _ := report.Of(m.of())
	return doc
}

// text is what is written to a file.
func (m *summaryScreen) text() (string, error) {
	var b strings.Builder
	if m.tally() {
		err := report.Tally(&b, m.story)
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

func (m *summaryScreen) about() string {
	return "The summary of a session or of the whole bow, to read, or to write to a file and send."
}

func (m *summaryScreen) title() (name, what, right string) {
	if m.tally() {
		return session.NameOf(m.story.Bow()), "tally sheet", "to print"
	}
	return session.NameOf(m.story.Bow()), fmt.Sprintf("summary of %s", m.which()), m.forms[m.form].Says
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
			m.asked++
			return move{}
		}
	}
	return []action{
		{keys: []string{"w"}, name: "write to a file", main: true, long: "Write what is shown to a file in the folder where Bendbook was started.",
			do: func() move { m.writing = true; return move{} }},
		{keys: []string{"left"}, show: "left/right", name: "session", main: true, long: "Choose the session before, or the whole bow.", do: choose(-1)},
		{keys: []string{"right"}, name: "session after", long: "Choose the session after, or the whole bow.", do: choose(1)},
		{keys: []string{"m"}, name: "form", main: true,
			long: "Change the form: text, Markdown, web page with pictures, table (CSV), JSON, and the tally sheet to fill in at the tree.",
			do:   func() move { m.form = (m.form + 1) % (len(m.forms) + 1); m.asked++; return move{} }},
		{keys: []string{"up", "k"}, show: "up/down", name: "scroll", main: true, long: "Scroll up.", do: scroll(m.page.ScrollUp, 1)},
		{keys: []string{"down", "j"}, name: "scroll down", long: "Scroll down.", do: scroll(m.page.ScrollDown, 1)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: func() move { m.page.PageUp(); return move{} }},
		{keys: []string{"pgdown", " "}, name: "page down", long: "Go down by a page.", do: func() move { m.page.PageDown(); return move{} }},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back.", do: func() move { return move{back: true} }},
	}
}

// save writes a file of the text that was made for it.
func (m *summaryScreen) save(text string, err error) notice {
	fail := func(err error) notice {
		return notice{failing, fmt.Errorf("the summary was not written: %w", err).Error()}
	}
	if err != nil {
		return fail(err)
	}
	part := report.TallyPart
	if !m.tally() {
		part = m.forms[m.form].Part(m.number)
	}
	path, err := m.desk.Save(report.Filename(session.NameOf(m.story.Bow()), "bow")+part, []byte(text))
	if err != nil {
		return fail(err)
	}
	return notice{saying, fmt.Sprintf("Written: %s in %s", plain.Line(filepath.Base(path)), plain.Line(filepath.Dir(path)))}
}

// fit implements scroller.
func (m *summaryScreen) fit(width, height int) {
	if width != m.page.Width {
		m.wrap(width)
	}
	m.page.Height = height
	m.page.SetYOffset(m.page.YOffset)
}

func (m *summaryScreen) view(int, int) string {
	if m.told != m.asked {
		return "\n  Working it out..."
	}
	return m.page.View()
}
