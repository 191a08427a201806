package ui

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/report"
	"bendbook/session/verdict"
)

// summaryScreen shows the summary of a session or the whole bow, or the card that goes with it, worked out
// beside, and writes it to a file.
type summaryScreen struct {
	reader
	desk     *Desk
	story    session.Story
	card     bool
	number   int             // of the session; 0 is the whole bow
	form     int             // of the forms
	readings bool            // with tables of all readings
	forms    []report.Format // the last of a summary's is the tally sheet
	practice func() verdict.Practice
	now      verdict.Finishing

	asked, begun, told int  // which summary was asked for last, is being worked out, is shown
	writing            bool // it is to be written to a file
}

func summaryPage() page {
	return page{name: "summary",
		about: "The summary of a session or of the whole bow. Read it, or write it to a file.",
		open: func(desk *Desk, to route) (screen, error) {
			m, err := paper(desk, to.work)
			tally := report.Format{Says: "to print", Write: report.Tally}
			m.number, m.forms = len(m.story.Sessions), append(report.Formats(), tally)
			return m, err
		},
		key: action{keys: "w", name: "write out",
			long: "Read the summary of a session or the whole bow. Write it to a file."}}
}

func cardPage() page {
	return page{name: toCard,
		about: "The card for the bow's owner: what it is, and how to keep and shoot it.",
		open: func(desk *Desk, to route) (screen, error) {
			m, err := paper(desk, to.work)
			m.card, m.forms = true, report.CardFormats()
			return m, err
		}}
}

func paper(desk *Desk, of *work) (*summaryScreen, error) {
	now, err := desk.Shop.Finishing(of.story())
	return &summaryScreen{desk: desk, story: of.story(), now: now, practice: of.practice(), asked: 1,
		reader: reader{lay: func(int) string { return "" }}}, err
}

func (m *summaryScreen) as() report.Format { return m.forms[m.form] }

// tally says whether the tally sheet is chosen, which is of the bow and of no session.
func (m *summaryScreen) tally() bool { return !m.card && m.form == len(m.forms)-1 }

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
		doc, _ := m.document() // the session is one of the story's, so it is always found
		intro := ""
		if m.as().Name == "html" && !m.card {
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

func (m *summaryScreen) document() (report.Document, error) {
	if !m.card {
		return report.Of(m.of())
	}
	if says, err := m.practice().Of(m.story); err == nil {
		return report.Card(m.story, m.now, &says), nil
	}
	return report.Card(m.story, m.now, nil), nil
}

func (m *summaryScreen) written() ([]byte, error) {
	var b bytes.Buffer
	var err error
	if m.card {
		doc, _ := m.document() // as in load
		err = m.as().WriteCard(&b, doc)
	} else {
		err = m.as().Write(&b, m.of())
	}
	return b.Bytes(), err
}

func (m *summaryScreen) save(text []byte, err error) notice {
	what, part := "the summary", report.TallyPart
	switch {
	case m.card:
		what, part = "the card", m.as().CardPart()
	case !m.tally():
		part = m.as().Part(m.number)
	}
	path := ""
	if err == nil {
		path, err = m.desk.Save(report.Filename(session.NameOf(m.story.Bow()), "bow")+part, text)
	}
	if err != nil {
		return notice{failing, fmt.Sprintf("%s was not written: %v", what, err)}
	}
	folder, file := filepath.Split(path)
	return said("Written: %s in %s", plain.Line(file), plain.Line(filepath.Clean(folder))).say
}

func (m *summaryScreen) title() (name, what, right string) {
	name = session.NameOf(m.story.Bow())
	what = fmt.Sprintf("summary of session %d of %d", m.number, len(m.story.Sessions))
	switch {
	case m.card:
		what = "the card that goes with it"
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
	write := action{keys: "w", name: "write out", main: true, do: then(func() { m.writing = true }),
		long: "Write it to a file in the folder where you started Bendbook."}
	format := action{keys: "tab", name: "format", main: true,
		long: "Change the format: text, Markdown, web page with pictures, table (CSV), JSON. The last is a " +
			"tally sheet to fill in at the tree.",
		do: then(func() { m.form = (m.form + 1) % len(m.forms); m.asked++ })}
	if m.card {
		write.off = func() string { return m.now.Cracked }
		format.long = "Switch between text, Markdown and a web page."
		return append(append([]action{write, format}, m.scrolling()...), back("Go back."))
	}
	all := []action{write,
		{keys: "left", show: "left/right", name: "session", main: true, do: by(-1, choose),
			long: "Choose the session before, or the whole bow."},
		{keys: "right", name: "session after", do: by(1, choose),
			long: "Choose the session after, or the whole bow."},
		format,
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
