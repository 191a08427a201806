package ui

import (
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// sure confirms what is asked about.
func (h *hands) sure() *hands {
	for strings.Contains(h.app.View(), "SURE?") {
		h.press("enter")
	}
	return h
}

// reads is see where only the words count, not the blanks between them.
func (h *hands) reads(texts ...string) {
	h.t.Helper()
	screen := strings.Join(strings.Fields(ansi.Strip(h.app.View())), " ")
	for _, text := range texts {
		if !strings.Contains(screen, text) {
			h.t.Fatalf("the screen does not say %q:\n%s", text, ansi.Strip(h.app.View()))
		}
	}
}

// pulls enters a pull on the bench, without its stations.
func (h *hands) pulls(draw, peak string) {
	h.press(draw, "enter").sure().press(peak, "enter", "ctrl+s")
	if strings.Contains(h.app.View(), "FIRST: which string") {
		h.press("enter")
	}
	h.sure()
}
