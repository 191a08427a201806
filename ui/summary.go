package ui

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/charmbracelet/bubbles/viewport"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/summary"
)

// summaryScreen shows the summary of a session or of the whole bow, and writes it to a file.
type summaryScreen struct {
	keysOnly
	desk     *Desk
	story    session.Story
	number   int // of the session; 0 is the whole bow
	markdown bool
	page     viewport.Model
}

func newSummaryScreen(desk *Desk, story session.Story) *summaryScreen {
	m := &summaryScreen{desk: desk, story: story, number: len(story.Sessions), page: viewport.New(80, 20)}
	m.load()
	return m
}

// document is what is shown.
func (m *summaryScreen) document() summary.Document {
	if m.number > 0 {
		if doc, err := summary.One(m.story, m.number, m.desk.Place); err == nil {
			return doc
		}
	}
	return summary.Whole(m.story, m.desk.Place)
}

func (m *summaryScreen) text() string {
	if m.markdown {
		return m.document().Markdown()
	}
	return m.document().Text()
}

// load shows another summary, from its top.
func (m *summaryScreen) load() {
	m.wrap(m.page.Width)
	m.page.GotoTop()
}

// wrap wraps what is shown to the window; what is written to a file keeps a page's measure.
func (m *summaryScreen) wrap(width int) {
	m.page.Width = width
	text := m.document().TextIn(min(width, 72))
	if m.markdown {
		text = ansi.Wrap(m.text(), width, "")
	}
	m.page.SetContent(text)
}

func (m *summaryScreen) title() (name, what, right string) {
	return session.NameOf(m.story.Bow()), "summary of " + m.which(), m.form()
}

func (m *summaryScreen) which() string {
	if m.number == 0 {
		return "the whole bow"
	}
	return fmt.Sprintf("session %d of %d", m.number, len(m.story.Sessions))
}

func (m *summaryScreen) form() string {
	if m.markdown {
		return "Markdown"
	}
	return "text"
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
		{keys: []string{"w"}, name: "write to a file", main: true, long: "Write the summary to a file in the folder where Bendbook was started.",
			do: m.write},
		{keys: []string{"left"}, show: "left/right", name: "session", main: true, long: "Choose the session before, or the whole bow.", do: choose(-1)},
		{keys: []string{"right"}, name: "session after", long: "Choose the session after, or the whole bow.", do: choose(1)},
		{keys: []string{"m"}, name: "markdown", main: true, long: "Change between text and Markdown.",
			do: func() move { m.markdown = !m.markdown; m.load(); return move{} }},
		{keys: []string{"up", "k"}, show: "up/down", name: "scroll", main: true, long: "Scroll up.", do: scroll(m.page.ScrollUp, 1)},
		{keys: []string{"down", "j"}, name: "scroll down", long: "Scroll down.", do: scroll(m.page.ScrollDown, 1)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: func() move { m.page.PageUp(); return move{} }},
		{keys: []string{"pgdown", " "}, name: "page down", long: "Go down by a page.", do: func() move { m.page.PageDown(); return move{} }},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back.", do: func() move { return move{back: true} }},
	}
}

func (m *summaryScreen) write() move {
	ending := ".txt"
	if m.markdown {
		ending = ".md"
	}
	what := "story"
	if m.number > 0 {
		what = fmt.Sprintf("session-%d", m.number)
	}
	path, err := m.desk.Save(fileName(session.NameOf(m.story.Bow()))+"-"+what+ending, []byte(m.text()))
	if err != nil {
		return failed(fmt.Errorf("the summary was not written: %w", err))
	}
	return said("Written: %s in %s", plain.Line(filepath.Base(path)), plain.Line(filepath.Dir(path)))
}

// fileName makes a name of letters, digits and dashes that any system takes as a file's.
func fileName(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 40 {
			break
		}
	}
	if safe := strings.Trim(b.String(), "-"); safe != "" {
		return safe
	}
	return "bow"
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
