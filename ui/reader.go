package ui

import "github.com/charmbracelet/bubbles/viewport"

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

// scrolling are the keys that scroll.
func (r *reader) scrolling() []action {
	return []action{
		{keys: []string{"up", "k"}, show: "up/down", name: "scroll", main: true, long: "Scroll up.",
			do: then(func() { r.port.ScrollUp(1) })},
		{keys: []string{"down", "j"}, name: "scroll down", do: then(func() { r.port.ScrollDown(1) }),
			long: "Scroll down."},
		{keys: []string{"pgup"}, name: "page up", do: then(func() { r.port.PageUp() }),
			long: "Go up by a page."},
		{keys: []string{"pgdown", " "}, name: "page down", do: then(func() { r.port.PageDown() }),
			long: "Go down by a page."},
		{keys: []string{"home"}, name: "top", long: "Go to the top.", do: then(func() { r.port.GotoTop() })},
		{keys: []string{"end"}, name: "end", do: then(func() { r.port.GotoBottom() }),
			long: "Go to the end."},
	}
}
