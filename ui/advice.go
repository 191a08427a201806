package ui

import (
	"strings"

	"bendbook/session"
	"bendbook/session/verdict"
)

// adviceScreen says all that the readings show, each figure with its 90 % band, and what they can't show yet.
type adviceScreen struct {
	reader
	of *work
}

func advicePage() page {
	return page{name: "advice",
		about: "All that the readings say of this bow, and what they can't show yet. Each figure has a range " +
			"that is right nine times in ten.",
		open: func(desk *Desk, to route) (screen, error) {
			of, s := to.work, desk.Styles
			return &adviceScreen{of: of, reader: reader{lay: func(width int) string {
				lines := append(partLines(s, of.advice.Parts(of.verdict), width), "", s.Quiet.Render(verdict.BandsSay))
				return strings.Join(lines, "\n")
			}}}, nil
		},
		off: mayAdvise, key: action{keys: "a", name: "advice", main: true,
			long: "Show all that the readings say, with ranges, and what they don't show."}}
}

// mayAdvise says why there is no advice to show; "" where there is some, or it is still being worked out.
func mayAdvise(w *work) string {
	switch {
	case w.err != nil:
		return w.err.Error()
	case w.fresh() && !w.advice.Read:
		return "you have no readings yet"
	}
	return ""
}

func (d *adviceScreen) title() (name, what, right string) {
	return session.NameOf(d.of.bow()), "what the readings say", d.of.asOf()
}

func (d *adviceScreen) actions() []action {
	return append(d.scrolling(), back("Go back to the bench."))
}
