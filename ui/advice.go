package ui

import (
	"fmt"
	"strings"

	"bendbook/session"
	"bendbook/session/advice"
)

// adviceScreen tells in words all that the readings say, each figure with its 90 % band, and what they do not show.
type adviceScreen struct {
	keysOnly
	desk *Desk
	of   *bench
	at   int // first line that is shown
	laid laidAdvice
}

// laidAdvice is the advice wrapped to a width. It is long, and looked at twice a frame.
type laidAdvice struct {
	told, width int    // which reckoning it is of
	look        string // what the styles make of a sample
	lines       []string
}

func (d *adviceScreen) about() string {
	return "All that the readings say of this bow, each figure with the band that holds the truth nine times in ten, and what they cannot show yet."
}

func (d *adviceScreen) title() (name, what, right string) {
	right = d.of.reckoningMark()
	if right == "" {
		right = fmt.Sprintf("pass %d", d.of.reckoned.advice.Pass)
	}
	return session.NameOf(d.of.atWork.Story().Bow()), "what the readings say", right
}

func (d *adviceScreen) actions() []action {
	scroll := func(by int) func() move { return func() move { d.at += by; return move{} } }
	return []action{
		{keys: []string{"up", "k"}, show: "up/down", name: "scroll", main: true, long: "Scroll up.", do: scroll(-1)},
		{keys: []string{"down", "j"}, name: "scroll down", long: "Scroll down.", do: scroll(1)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: scroll(-10)},
		{keys: []string{"pgdown", " "}, name: "page down", long: "Go down by a page.", do: scroll(10)},
		{keys: []string{"esc", "q"}, name: "back", main: true, long: "Go back to the bench.", do: func() move { return move{back: true} }},
	}
}

// fit implements scroller.
func (d *adviceScreen) fit(width, height int) { d.at = max(0, min(d.at, len(d.lines(width))-height)) }

func (d *adviceScreen) view(width, height int) string {
	lines := d.lines(width)
	first := max(0, min(d.at, len(lines)-height))
	return strings.Join(lines[first:min(first+height, len(lines))], "\n")
}

// lines are the whole advice, wrapped to the width.
func (d *adviceScreen) lines(width int) []string {
	s := d.desk.Styles
	told, look := d.of.reckoned.told, s.Strong.Render("x")+s.Quiet.Render("x")
	if d.laid.lines == nil || d.laid.told != told || d.laid.width != width || d.laid.look != look {
		lines := append(partLines(d.desk, d.of.reckoned.advice.Parts(), width), "", s.Quiet.Render(advice.BandsSay))
		d.laid = laidAdvice{told, width, look, lines}
	}
	return d.laid.lines
}
