package ui

import "bendbook/ui/look"

// list knows which of a number of things is chosen.
type list struct{ at, count int }

func (l *list) step(by int) { l.at = max(0, min(l.at+by, l.count-1)) }

// choosing are the keys that choose; what is one of the things.
func (l *list) choosing(what string) []action {
	return []action{
		{keys: []string{"up", "k"}, name: "up", long: "Choose the " + what + " above.", do: by(-1, l.step)},
		{keys: []string{"down", "j"}, name: "down", long: "Choose the " + what + " below.", do: by(1, l.step)},
		{keys: []string{"pgup"}, name: "page up", long: "Go up by a page.", do: by(-10, l.step)},
		{keys: []string{"pgdown"}, name: "page down", long: "Go down by a page.", do: by(10, l.step)},
		{keys: []string{"home"}, name: "first", long: "Choose the first " + what + ".", do: by(-l.count, l.step)},
		{keys: []string{"end"}, name: "last", long: "Choose the last " + what + ".", do: by(l.count, l.step)},
	}
}

// around is which of n lines are shown where there is room for some: those about line at.
func around(at, n, room int) (from, to int) {
	from = max(0, min(at-room/2, n-room))
	return from, min(from+max(0, room), n)
}

// mark is a line of a list, with a sign before it where it is the chosen one.
func mark(s look.Styles, chosen bool, line string) string {
	if chosen {
		return s.Chosen.Render("> " + line)
	}
	return "  " + line
}
