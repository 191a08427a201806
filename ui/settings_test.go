package ui

import (
	"io"
	"slices"
	"strings"
	"testing"

	"bendbook/model/finish"
	"bendbook/ui/look"
)

// goTo chooses the setting with this label on the settings screen.
func (h *hands) goTo(label string) *hands {
	h.t.Helper()
	screen := h.app.top().(*settingsScreen)
	for i, setting := range screen.all {
		if setting.Label == label {
			screen.at = i
			h.resize(h.app.width, h.app.height)
			return h
		}
	}
	h.t.Fatalf("there is no setting %q", label)
	return h
}

// change empties the field of a setting and answers it anew.
func (h *hands) change(label, answer string) *hands {
	h.t.Helper()
	h.goTo(label).press("enter")
	h.press(slices.Repeat([]string{"backspace"}, 80)...)
	return h.press(answer, "enter")
}

// What the settings say of the screen holds at once; the terminal's own limits stay.
func TestTheScreenFollowsItsSettings(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	ascii := false
	h.app.desk.Dress = func(screen finish.Screen) look.Styles {
		return look.For(io.Discard, look.TrueColour, look.Unknown, ascii, screen)
	}
	h.press(",").change("colours", "none")
	if view := h.app.View(); strings.Contains(view, "\x1b") || !strings.Contains(view, "─") {
		t.Errorf("no colours, but lines: %q", view)
	}
	h.change("letters", "ascii")
	h.miss("─")
	h.change("colours", "16").change("letters", "as the")
	if view := h.app.View(); !strings.Contains(view, "\x1b[") || strings.Contains(view, "38;") || !strings.Contains(view, "─") {
		t.Errorf("16 colours and lines: %q", view)
	}
	ascii = true
	h.change("colours", "as the")
	h.miss("─")
}
