package ui

import (
	"strings"
	"testing"

	"bendbook/ui/look"
)

// TestEveryFormOfASummaryIsWrittenFromTheScreen, in the order in which m shows them.
func TestEveryFormOfASummaryIsWrittenFromTheScreen(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	h.press("down", "enter", "w", "right") // behind the last session comes the whole bow
	for _, c := range []struct{ says, file, begins string }{
		{"text", "ash-for-wren-story.txt", "Ash for Wren\n===="}, {"Markdown", "ash-for-wren-story.md", "# Ash for Wren\n"},
		{"web page", "ash-for-wren-story.html", "<!DOCTYPE html>\n"}, {"table (CSV)", "ash-for-wren-story.csv", "time,pass,kind,draw (in),peak (lb),"},
		{"JSON", "ash-for-wren-story.json", "{\n  \"format\": \"bendbook/summary\""}, {"to print", "ash-for-wren-tally.html", "<!DOCTYPE html>\n"},
	} {
		h.see(c.says)
		h.press("w")
		h.see("Written: " + c.file + " in /shop")
		if !strings.HasPrefix(h.saved[c.file], c.begins) {
			t.Errorf("%s begins with %.60q, want %q", c.file, h.saved[c.file], c.begins)
		}
		h.press("m")
	}
	h.see("text")
}
