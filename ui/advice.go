package ui

import (
	"strings"

	"bendbook/session"
	"bendbook/session/report"
	"bendbook/session/verdict"
	"bendbook/ui/look"
)

// adviceScreen says all that the readings show, each figure with its 90 % band, and what they can't show yet;
// and it holds the bow against its order.
type adviceScreen struct {
	reader
	of *work
}

func advicePage() page {
	return page{name: "advice",
		about: "All that the readings say of this bow, and what they can't show yet. Each figure has a range " +
			"that is right nine times in ten. At the end it shows the order: the draw in every " +
			"measure, the string, the strain, how damp it is.",
		open: func(desk *Desk, to route) (screen, error) {
			lay := func(width int) string { return adviceText(desk.Styles, to.work, width) }
			return &adviceScreen{of: to.work, reader: reader{lay: lay}}, nil
		},
		key: action{keys: "a", name: "advice", main: true,
			long: "Show all that the readings say, with ranges, and what they don't show. Then compare the bow " +
				"with its order."}}
}

func adviceText(s look.Styles, of *work, width int) string {
	var told *verdict.Advice
	if of.told > 0 {
		told = &of.advice
	}
	order, err := report.Checks(of.desk.Shop, of.story(), told)
	if err != nil {
		order = []verdict.Part{{Heading: "The order", Texts: []string{session.Capital(err.Error()) + "."}}}
	}
	var lines []string
	switch {
	case of.advice.Read:
		lines = append(partLines(s, of.advice.Parts(of.verdict), width), "", s.Quiet.Render(verdict.BandsSay), "")
	case told != nil:
		lines = append(styled(s.Strong, of.verdict.Say+" "+of.verdict.Why, width, 4), "")
	}
	return strings.Join(append(lines, partLines(s, order, width)...), "\n")
}

func (d *adviceScreen) title() (name, what, right string) {
	return session.NameOf(d.of.bow()), "what the readings say", d.of.asOf()
}

func (d *adviceScreen) actions() []action {
	return append(d.scrolling(), back("Go back to the bench."))
}
