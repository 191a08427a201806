package ui

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/ui/look"
)

// pasted is what a terminal that knows a paste from typing sends.
func pasted(text string) tea.KeyMsg {
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text), Paste: true}
}

// walk is a whole pull of the demo's ash: draw, peak, and eight stations of either limb.
var walk = []string{
	"20 1/2", "31.0",
	"5/16", "5/8", "1 7/16", "2 9/16", "4", "5 5/8", "7 9/16", "9 13/16",
	"3/8", "9/16", "1 1/4", "2 1/4", "3 5/8", "5 1/4", "7 1/16", "9 1/16",
}

// wholePull fails unless the last entry of the bow at the bench is the whole walk.
func (h *hands) wholePull() {
	h.t.Helper()
	h.reads("pull to 20 1/2 in: 31.0 lb, 16 readings to the line")
	pull, _ := h.app.top().(*bench).atWork.Story().LastPull()
	for i, want := range map[int]float64{0: 0.3125, 2: 1.4375, 7: 9.8125} {
		if got, known := pull.Readings.At(model.Upper, i).Get(); !known || float64(got) != want {
			h.t.Errorf("the upper limb's station %d is %v, want %v", i, got, want)
		}
	}
	if got := pull.Readings.At(model.Lower, 7).Or(0); float64(got) != 9.0625 {
		h.t.Errorf("the lower limb's last station is %v, want 9 1/16", got)
	}
}

func TestAPasteThatHasNoRoomIsToldOfAndChangesNothing(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.answers("20.5", "31")
	before := h.app.View()
	h.send(pasted(strings.Join(walk, " ")))
	h.see("18 values were pasted, and there is room for 16: nothing was filled in.", "3 of 18")
	h.send(tea.KeyMsg{Type: tea.KeyF2})
	h.send(tea.KeyMsg{Type: tea.KeyF2})
	if after := h.app.View(); after != before {
		t.Errorf("it changed\n%s\nto\n%s", before, after)
	}
	// What is answered already is not typed over.
	h.answers("3/8", "5/8").press("up", "up", "up")
	h.send(pasted("33 3/8 1/2"))
	h.reads("2 values were pasted behind 31: nothing was filled in")
	h.press("esc", "t")
	h.send(pasted("5/16 1/2"))
	h.see("Nothing is typed here")
}

// application is a text as a keypad sends it that is switched to application keys, in the messages that bubbletea makes of them:
// an O with Alt, and the letter, which may be glued to what follows.
func application(text string) []tea.KeyMsg {
	letters := map[rune]string{'\r': "M"}
	for i, r := range keypadPrinted {
		letters[r] = keypadLetters[i : i+1]
	}
	var keys []tea.KeyMsg
	for _, r := range text {
		letter := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(letters[r])}
		if r == ' ' {
			letter.Type = tea.KeySpace
		}
		keys = append(keys, tea.KeyMsg{Type: tea.KeyRunes, Alt: true, Runes: []rune{'O'}}, letter)
	}
	return keys
}

func TestANumberKeypadTypesAWholePull(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	for _, value := range walk {
		// Many a keypad has a comma where others have the point.
		for _, key := range application(strings.ReplaceAll(value, ".", ",") + "\r") {
			h.send(key)
		}
	}
	h.wholePull()
	// Letters that follow no keypad stay letters, and a key that follows at once is its own.
	h.press("n")
	h.send(tea.KeyMsg{Type: tea.KeyRunes, Alt: true, Runes: []rune{'O'}})
	h.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("ppp")})
	h.press("enter")
	h.see("note: 0pp.")
}

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
