package ui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/ui/look"
)

// megabyte is what somebody pastes by mistake: a million letters, some of which steer a terminal.
var megabyte = strings.Repeat("Sapwood \x1b[31m弓\u202e,\n", 1<<20/23)

// A megabyte pasted into any field is cut, and it is said; what was typed before stays, and so does the entry.
func TestAMegabytePastedIsCutWithAWord(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	paste := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(megabyte), Paste: true}
	h.press("enter", "n", "Before. ")
	h.send(paste)
	h.see("it is cut after 16000 letters")
	h.fits(80, 24)
	h.press("enter")
	h.see("Saved")
	story := h.app.top().(*bench).atWork.Story()
	note, isNote := story.Lines[len(story.Lines)-1].Entry.What.(model.Note)
	if n := len([]rune(note.Text)); !isNote || n < mostTyped-1 || !strings.HasPrefix(note.Text, "Before. Sapwood ") {
		t.Errorf("the note has %d letters: %.40q", n, note.Text)
	}
	for _, keys := range [][]string{{"p", "18"}, {"p", "18", "enter"}, {"s"}, {"e", "down", "x"}, {"d"}, {"w"}, {"?"}, {"esc", "/"}} {
		h = sit(t, look.NoColour, true, 80, 24)
		before := h.entries()
		h.press("enter").press(keys...)
		h.send(paste)
		h.fits(80, 24)
		if h.press("enter"); h.entries() < before {
			t.Errorf("%q: an entry was lost", keys)
		}
	}
}
