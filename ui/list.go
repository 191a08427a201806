package ui

import (
	"strings"

	"github.com/charmbracelet/bubbles/viewport"

	"bendbook/ui/look"
)

// list is a cursor over count things.
type list struct{ at, count int }

func (l *list) step(by int) { l.at = max(0, min(l.at+by, l.count-1)) }

func (l *list) choosing(what string) []action { return choosing(what, false, l.step) }

// choosing are the keys that choose one of several things; step goes no farther than there are any.
func choosing(what string, main bool, step func(int)) []action {
	const all = 1 << 20
	return []action{
		{keys: "up", show: "up/down", name: what, main: main, long: "Choose the " + what + " above.",
			do: by(-1, step)},
		{keys: "down", name: "next " + what, long: "Choose the " + what + " below.", do: by(1, step)},
		{keys: "home", name: "first", long: "Choose the first " + what + ".", do: by(-all, step)},
		{keys: "end", name: "last", long: "Choose the last " + what + ".", do: by(all, step)},
		{keys: "pgup", name: "page up", long: "Go up by a page.", do: by(-10, step)},
		{keys: "pgdown", name: "page down", long: "Go down by a page.", do: by(10, step)},
	}
}

// view shows what there is room for between a head and a foot. line is one of the things: the sign before it
// where it isn't chosen, its text, and its section, which is named above; the first ones have none.
func (l *list) view(s look.Styles, height int, head, foot []string,
	line func(i int) (sign, text, section string)) string {
	room := height - len(head) - len(foot)
	if l.count > 0 {
		if _, _, section := line(l.count - 1); section != "" {
			room-- // for its name
		}
	}
	from, to := around(l.at, l.count, room)
	was := ""
	for i := from; i < to; i++ {
		sign, text, section := line(i)
		if section != was {
			was, head = section, append(head, s.Quiet.Render("  "+section))
		}
		if i == l.at {
			sign, text = "", s.Chosen.Render("> "+text)
		}
		head = append(head, sign+text)
	}
	return strings.Join(append(lengthen(head, height-len(foot)), foot...), "\n")
}

// around is which of n lines are shown where there is room for some: those about line at.
func around(at, n, room int) (from, to int) {
	from = max(0, min(at-room/2, n-room))
	return from, min(from+max(0, room), n)
}

// reader is embedded in screens that show a text longer than some windows, and scroll it.
type reader struct {
	base
	// lay breaks the text into lines of at most so many cells.
	lay  func(width int) string
	port viewport.Model
	text string // as it was laid out last
}

func (r *reader) fit(width, height int) {
	r.port.Width, r.port.Height = width, height
	if text := r.lay(width); text != r.text {
		r.text = text
		r.port.SetContent(text)
	}
	r.port.SetYOffset(r.port.YOffset)
}

func (r *reader) view(int, int) string { return r.port.View() }

func (r *reader) scrolling() []action {
	return []action{
		{keys: "up", show: "up/down", name: "scroll", main: true, long: "Scroll up.",
			do: then(func() { r.port.ScrollUp(1) })},
		{keys: "down", name: "scroll down", do: then(func() { r.port.ScrollDown(1) }), long: "Scroll down."},
		{keys: "pgup", name: "page up", do: then(func() { r.port.PageUp() }), long: "Go up by a page."},
		{keys: "pgdown space", name: "page down", do: then(func() { r.port.PageDown() }),
			long: "Go down by a page."},
		{keys: "home", name: "top", long: "Go to the top.", do: then(func() { r.port.GotoTop() })},
		{keys: "end", name: "end", do: then(func() { r.port.GotoBottom() }), long: "Go to the end."},
	}
}
