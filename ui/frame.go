package ui

import (
	"cmp"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model/plain"
	"bendbook/ui/look"
)

// titleLine is the screen's title in one line; of the bow's name twelve letters stay.
func titleLine(s look.Styles, of screen, width int) string {
	name, what, right := of.title()
	// What is spelled out takes more room, so it is spelled before it is cut.
	name, what, right = s.Spell(name), s.Spell(what), s.Spell(right)
	if what != "" {
		what = s.Dot() + what
	}
	right = ansi.Truncate(right, width/2, "~")
	room := width - ansi.StringWidth(right) - 1
	name = ansi.Truncate(name, max(min(12, room), room-ansi.StringWidth(what)), "~")
	what = ansi.Truncate(what, max(0, room-ansi.StringWidth(name)), "~")
	gap := strings.Repeat(" ", max(1, width-ansi.StringWidth(name+what+right)))
	return s.Strong.Render(name) + s.Plain.Render(what) + gap + s.Quiet.Render(right)
}

// noticeLines are the notice in four lines at the most, or what is said where there is none: idle.
func noticeLines(s look.Styles, n notice, idle string, width int) []string {
	style, text := s.Good, n.text
	switch {
	case text == "":
		style, text = s.Quiet, ansi.Truncate(idle, width, "~")
	case n.kind == warning:
		style = s.Caution
	case n.kind == failing:
		style = s.Bad
	}
	return styled(style, plain.Line(text), width, 4)
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

// footer is the bottom line: the main keys of the screen that can be pressed now, as far as there is room.
func footer(s look.Styles, of screen, width int) string {
	var parts []string
	add := func(key, name string) {
		part := s.Accent.Render(key) + " " + name
		if w := ansi.StringWidth(part) + 2; w <= width {
			parts, width = append(parts, part), width-w
		}
	}
	const help = 8 // what the last key takes
	width -= help
	for _, a := range of.actions() {
		if a.main && a.why() == "" {
			first, _, _ := strings.Cut(a.keys, " ")
			add(cmp.Or(a.show, first), a.name)
		}
	}
	if of.about() != "" { // the help alone needs none
		width += help
		add("?", "help")
	}
	return strings.Join(parts, "  ")
}
