package ui

import (
	"bytes"
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/report"
	"bendbook/session/verdict"
)

// summaryScreen shows the summary of a session or the whole bow, worked out beside, and writes it to a file.
type summaryScreen struct {
	reader
	desk     *Desk
	story    session.Story
	number   int             // of the session; 0 is the whole bow
	form     int             // of the forms
	readings bool            // with tables of all readings
	forms    []report.Format // the last is the tally sheet
	practice func() verdict.Practice
	now      verdict.Finishing

	asked, begun, told int  // which summary was asked for last, is being worked out, is shown
	writing            bool // it is to be written to a file
}

func summaryPage() page {
	return page{name: "summary",
		about: "The summary of a session or of the whole bow. Read it, or write it to a file.",
		open: func(desk *Desk, to route) (screen, error) {
			story := to.work.story()
			now, err := desk.Shop.Finishing(story)
			if err != nil {
				return nil, err
			}
			tally := report.Format{Says: "to print", Write: report.Tally}
			return &summaryScreen{now: now,
				desk: desk, story: story, number: len(story.Sessions), forms: append(report.Formats(), tally),
				practice: to.work.practice(), asked: 1,
				reader: reader{lay: func(int) string { return "" }},
			}, nil
		},
		key: action{keys: "w", name: "write out",
			long: "Read the summary of a session or the whole bow. Write it to a file."}}
}

func (m *summaryScreen) as() report.Format { return m.forms[m.form] }

// tally says whether the tally sheet is chosen, which is of the bow and of no session.
func (m *summaryScreen) tally() bool { return m.form == len(m.forms)-1 }

func (m *summaryScreen) background() tea.Cmd {
	var work []tea.Cmd
	one := *m // as it is chosen now
	if m.begun != m.asked {
		m.begun = m.asked
		work = append(work, func() tea.Msg {
			lay := one.load()
			return toldMsg(func() notice { m.take(one.asked, lay); return notice{} })
		})
	}
	if m.writing {
		m.writing = false
		work = append(work, func() tea.Msg {
			text, err := one.written()
			return toldMsg(func() notice { return one.save(text, err) })
		})
	}
	return tea.Batch(work...)
}

// take shows a summary from its top, unless another was asked for meanwhile.
func (m *summaryScreen) take(which int, lay func(int) string) {
	if which != m.asked {
		return
	}
	m.told = which
	text, at := "", -1
	m.lay = func(width int) string {
		if at != width {
			text, at = lay(width), width
		}
		return text
	}
	m.port.GotoTop()
}

func (m *summaryScreen) load() func(width int) string {
	text := ""
	switch {
	case m.tally():
		text = report.TallySheet + "\n\nw writes it, as a page for A4 or Letter."
	case m.as().Name == "text" || m.as().Name == "html":
		doc, _ := report.Of(m.of()) // the session is one of the story's, so it is always found
		intro := ""
		if m.as().Name == "html" {
			intro = "A page with pictures of the limbs, the bend, the force and the weight. Read it on a phone, " +
				"or print it.\nw writes it. It says the same as the text:\n\n"
		}
		return func(width int) string { return ansi.Wrap(intro, width, "") + doc.TextIn(min(width, 72)) }
	default:
		out, err := m.written()
		if err != nil {
			out = []byte(fmt.Sprintf("It can't be shown: %v", err))
		}
		// A table and JSON hold the maker's text as it is in the book.
		var shown []string
		for line := range strings.Lines(string(out)) {
			indent := len(line) - len(strings.TrimLeft(line, " "))
			shown = append(shown, line[:indent]+plain.Line(line))
		}
		text = strings.Join(shown, "\n")
	}
	return func(width int) string { return ansi.Wrap(text, width, "") }
}

func (m *summaryScreen) of() report.Subject {
	return report.Subject{Story: m.story, Session: m.number, Practice: m.practice(), Finishing: m.now,
		Place: m.desk.Place, Readings: m.readings}
}

func (m *summaryScreen) written() ([]byte, error) {
	var b bytes.Buffer
	err := m.as().Write(&b, m.of())
	return b.Bytes(), err
}

func (m *summaryScreen) save(text []byte, err error) notice {
	part := report.TallyPart
	if !m.tally() {
		part = m.as().Part(m.number)
	}
	return m.desk.write("the summary", report.Filename(session.NameOf(m.story.Bow()), "bow")+part, text, err)
}

func (m *summaryScreen) title() (name, what, right string) {
	name = session.NameOf(m.story.Bow())
	what = fmt.Sprintf("summary of session %d of %d", m.number, len(m.story.Sessions))
	switch {
	case m.tally():
		what = "tally sheet"
	case m.number == 0:
		what = "summary of the whole bow"
	}
	return name, what, m.as().Says
}

func (m *summaryScreen) actions() []action {
	choose := func(by int) {
		n := len(m.story.Sessions) + 1
		m.number = (m.number + by + n) % n
		m.asked++
	}
	all := []action{
		{keys: "w", name: "write out", main: true, do: then(func() { m.writing = true }),
			long: "Write it to a file in the folder where you started Bendbook."},
		{keys: "left", show: "left/right", name: "session", main: true, do: by(-1, choose),
			long: "Choose the session before, or the whole bow."},
		{keys: "right", name: "session after", do: by(1, choose),
			long: "Choose the session after, or the whole bow."},
		{keys: "tab", name: "format", main: true,
			long: "Change the format: text, Markdown, web page with pictures, table (CSV), JSON. The last is a " +
				"tally sheet to fill in at the tree.",
			do: then(func() { m.form = (m.form + 1) % len(m.forms); m.asked++ })},
	}
	if name := m.as().Name; name == "text" || name == "markdown" {
		all = append(all, action{keys: "R", name: "readings", main: true,
			long: "Show all readings in tables, or leave them out.",
			do:   then(func() { m.readings = !m.readings; m.asked++ })})
	}
	return append(append(all, m.scrolling()...), back("Go back to the bench."))
}

func (m *summaryScreen) view(width, height int) string {
	if m.told != m.asked {
		return "\n  Working it out..."
	}
	return m.reader.view(width, height)
}
