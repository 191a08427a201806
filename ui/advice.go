package ui

import (
	"cmp"
	"fmt"
	"strings"

	"bendbook/session"
	"bendbook/session/verdict"
	"bendbook/ui/look"
)

// adviceScreen says all that the readings show, each figure with its 90 % band, and what they can't show yet.
type adviceScreen struct {
	reader
	of *bench
}

func newAdviceScreen(of *bench) *adviceScreen {
	d := &adviceScreen{of: of}
	d.lay = func(width int) string {
		s := of.desk.Styles
		lines := append(partLines(s, of.advised.advice.Parts(), width), "", s.Quiet.Render(verdict.BandsSay))
		return strings.Join(lines, "\n")
	}
	return d
}

func (d *adviceScreen) about() string {
	return "All that the readings say of this bow, each figure with the band that holds the truth nine times in ten, " +
		"and what they cannot show yet."
}

func (d *adviceScreen) title() (name, what, right string) {
	return session.NameOf(d.of.atWork.Story().Bow()), "what the readings say", d.of.asOf()
}

func (d *adviceScreen) actions() []action {
	return append(d.scrolling(), back("Go back to the bench."))
}

// asOf says of which pass the advice is, or that it is out of date.
func (b *bench) asOf() string {
	return cmp.Or(b.staleMark(), fmt.Sprintf("pass %d", b.advised.advice.Pass))
}

// partLines are headings and points, wrapped to the width.
func partLines(s look.Styles, parts []verdict.Part, width int) []string {
	var lines []string
	for _, p := range parts {
		if len(lines) > 0 {
			lines = append(lines, "")
		}
		lines = append(lines, s.Strong.Render(p.Heading))
		for _, text := range p.Texts {
			lead := "- "
			for _, line := range wrapped(text, width-4, 12) {
				lines = append(lines, lead+line)
				lead = "  "
			}
		}
	}
	return lines
}
