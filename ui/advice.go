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
		about: "All that the readings say of this bow, each figure with the band that holds the truth nine " +
			"times in ten, and what they cannot show yet.",
		open: func(desk *Desk, to route) (screen, error) {
			of, s := to.work, desk.Styles
			return &adviceScreen{of: of, reader: reader{lay: func(width int) string {
				lines := append(partLines(s, of.advice.Parts(of.verdict), width), "", s.Quiet.Render(verdict.BandsSay))
				return strings.Join(lines, "\n")
			}}}, nil
		},
		off: mayAdvise, key: action{keys: "a", name: "advice", main: true,
			long: "Tell all that the readings say, each figure with its band, and what they do not show."}}
}

// mayAdvise says why there is no advice to show; "" where there is some, or it is still being worked out.
func mayAdvise(w *work) string {
	switch {
	case w.err != nil:
		return w.err.Error()
	case w.fresh() && !w.advice.Read:
		return "nothing was read yet"
	}
	return ""
}

func (d *adviceScreen) title() (name, what, right string) {
	return session.NameOf(d.of.bow()), "what the readings say", d.of.asOf()
}

func (d *adviceScreen) actions() []action {
	return append(d.scrolling(), back("Go back to the bench."))
}
