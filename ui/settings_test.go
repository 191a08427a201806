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

// Stages are moved, left out and added, the mark stays on the one that was moved, and the file says the same.
func TestStagesAreArrangedOnTheScreen(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	h.press(",").goTo("filed").press("+")
	h.see(">  filed")
	names := func() string {
		var all []string
		for _, stage := range h.settings().Stages {
			all = append(all, stage.Name)
		}
		return strings.Join(all, ",")
	}
	if !strings.Contains(names(), "tillered,bowstring made,shot in,scraped,filed,sanded") {
		t.Error(names())
	}
	h.press("delete", "N", "steamed", "enter", "enter", "enter", "enter", "enter", "enter", "12", "enter")
	h.see("steamed", "lies 12 h")
	if !strings.Contains(names(), "tillered,bowstring made,shot in,scraped,sanded,steamed,weighed") {
		t.Error(names())
	}
}

// TestEveryFormOfASummaryIsWrittenFromTheScreen, in the order in which m shows them.
func TestEveryFormOfASummaryIsWrittenFromTheScreen(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	h.press("down", "enter", "w", "right") // behind the last session comes the whole bow
	for _, c := range []struct{ says, file, begins string }{
		{"text", "ash-for-wren-story.txt", "Ash for Wren\n===="}, {"Markdown", "ash-for-wren-story.md", "# Ash for Wren\n"},
		{"web page", "ash-for-wren-story.html", "<!DOCTYPE html>\n"}, {"table (CSV)", "ash-for-wren-story.csv", "\ufefftime,pass,kind,draw (in),peak (lb),"},
		{"JSON", "ash-for-wren-story.json", "{\n  \"format\": \"bendbook/summary\""}, {"to print", "ash-for-wren-tally.html", "<!DOCTYPE html>\n"},
	} {
		h.see(c.says)
		h.press("w")
		h.see("Written: " + c.file + " in /shop")
		if !strings.HasPrefix(h.saved[c.file], c.begins) {
			t.Errorf("%s begins with %.60q, want %q", c.file, h.saved[c.file], c.begins)
		}
		h.press("tab")
	}
	h.see("text")
}
