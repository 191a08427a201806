package ui

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
)

// The smallest window in which the screens can be used.
const (
	leastWidth  = 60
	leastHeight = 20
)

// View implements tea.Model: never wider or taller than the window.
func (a *App) View() string {
	if a.width <= 0 || a.height <= 0 || a.ended {
		return ""
	}
	if a.tooSmall() {
		text := fmt.Sprintf("The window has %d columns and %d rows; Bendbook needs %d and %d. Until then no key counts; nothing is lost.",
			a.width, a.height, leastWidth, leastHeight)
		return fit(ansi.Wrap(text, a.width, ""), a.width, a.height)
	}
	s, top, room := a.desk.Styles, a.top(), a.room()
	view := ""
	if big, canBeBig := top.(acrosser); canBeBig && a.large {
		view = big.across(a.width, room)
	} else {
		view = top.view(a.width, room)
	}
	lines := []string{a.titleLine(), s.Rule(a.width)}
	lines = append(lines, lengthen(strings.Split(view, "\n"), room)...)
	lines = append(append(lines, a.noticeLines()...), footer(s, top, a.width))
	return steady(fit(s.Spell(strings.Join(lines, "\n")), a.width, a.height))
}

// room is how many lines there are for the screen's own picture.
func (a *App) room() int { return a.height - 3 - len(a.noticeLines()) }

// tooSmall says whether the window, once its size is known, cannot show the screens.
func (a *App) tooSmall() bool {
	return a.width > 0 && a.height > 0 && (a.width < leastWidth || a.height < leastHeight)
}

func (a *App) titleLine() string {
	s := a.desk.Styles
	name, what, right := a.top().title()
	// What is spelled out takes more room, so it is spelled before it is cut.
	name, what, right = s.Spell(name), s.Spell(what), s.Spell(right)
	if what != "" {
		what = s.Dot() + what
	}
	right = ansi.Truncate(right, a.width/2, "~")
	room := a.width - ansi.StringWidth(right) - 1
	name = ansi.Truncate(name, max(min(12, room), room-ansi.StringWidth(what)), "~")
	what = ansi.Truncate(what, max(0, room-ansi.StringWidth(name)), "~")
	gap := strings.Repeat(" ", max(1, a.width-ansi.StringWidth(name)-ansi.StringWidth(what)-ansi.StringWidth(right)))
	return s.Strong.Render(name) + s.Plain.Render(what) + gap + s.Quiet.Render(right)
}

// noticeLines are the notice in four lines at the most: the end of what went wrong says what to do.
func (a *App) noticeLines() []string {
	s := a.desk.Styles
	style, text := s.Good, a.notice.text
	switch {
	case text == "":
		style, text = s.Quiet, ansi.Truncate(cmp.Or(a.top().idle(), a.desk.saved()), a.width, "~")
	case a.notice.kind == warning:
		style = s.Caution
	case a.notice.kind == failing:
		style = s.Bad
	}
	return styled(style, plain.Line(text), a.width, 4)
}

// fit cuts text to at most height lines of at most width cells.
func fit(text string, width, height int) string {
	lines := strings.Split(text, "\n")
	if len(lines) > height {
		lines = lines[:max(0, height)]
	}
	for i, line := range lines {
		if ansi.StringWidth(line) > width {
			lines[i] = ansi.Truncate(line, width, "")
		}
	}
	return strings.Join(lines, "\n")
}
