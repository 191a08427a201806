package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/ui/look"
)

// sitting is a day of the demo's ash at the tree as it is typed, a comma for each Enter: three scrapes, five
// pulls of sixteen stations, which a rule prints as the first of each pair and short fingers type as the
// second, and a note.
var sitting = [][2]string{
	{"su,0,10,,8,,", ""},
	{"su,12,28,,10,,", ""},
	{"sl,0,14,,7,,", ""},
	{"14 1/2,21,1/4,3/8,1 1/16,1 7/8,3,4 1/4,5 7/8,7 5/8," +
		"1/4,7/16,1,1 3/4,2 3/4,4,5 7/16,7 1/16,",
		"=,21,+,-,=,-,3,=,-,-,=,=,1,-,=,4,+,++,"},
	{"16 1/2,25.2,5/16,1/2,1 1/8,2 1/8,3 5/16,4 11/16,6 3/8,8 5/16," +
		"1/4,1/2,1 1/16,1 15/16,3 1/16,4 7/16,5 15/16,7 3/4,",
		"16 8,25.2,5/,8/,1 2,2 2,3 5,4 11,6 6,8 5,4/,8/,1 1,1 15,3 1,4 7,5 15,7 12,"},
	{"16 1/2,23.8,5/16,1/2,1 3/16,2 1/8,3 5/16,4 5/8,6 3/8,8 3/8," +
		"1/4,1/2,1 1/16,1 15/16,3,4 5/16,5 7/8,7 11/16,",
		"=,23.8,=,=,+,=,=,-,=,+,=,=,=,=,3,--,-,-,"},
	{"18 1/2,27.2,5/16,1/2,1 5/16,2 5/16,3 5/8,5 3/16,6 15/16,9 1/16," +
		"3/16,1/2,1 3/16,2 1/8,3 1/4,4 3/4,6 3/8,8 3/8,",
		"18 8,27.2,5/,8/,1 5,2 5,3 10,5 3,6 15,9 1,3/,8/,1 3,2 2,3 4,4 12,6 6,8 6,"},
	{"18 1/2,27,7/16,9/16,1 1/4,2 5/16,3 1/2,5 3/16,7,9 1/16," +
		"5/16,9/16,1 3/16,2 1/8,3 5/16,4 3/4,6 1/2,8 3/8,",
		"=,27,7/,+,-,=,--,=,7,=,5/,+,=,=,+,=,++,=,"},
	{"nBetter; still flat over the dip. No farther until it comes.,", ""},
}

// A day at the tree that is typed in short takes six keys where a rule's own way takes ten. Both make the same
// entries.
func TestASessionTakesFewKeys(t *testing.T) {
	t.Parallel()
	story := atTheBench(t).bench().story()
	var before []model.Event
	for _, line := range story.Lines {
		if line.Entry.At.Before(time.Date(2027, 1, 21, 0, 0, 0, 0, time.UTC)) {
			before = append(before, line.Entry.What)
		}
	}
	var keys [2]int
	var made [2][]string
	for way := range keys {
		h := sit(t, look.NoColour, false, 80, 24)
		h.hold = true
		bow := story.Bow()
		bow.ID = ""
		h.newBow(bow, before...)
		h.open(look.NoColour, 80, 24)
		h.press("enter")
		for _, entry := range sitting {
			for field := range strings.SplitSeq(strings.TrimSuffix(cmp.Or(entry[way], entry[0]), ","), ",") {
				keys[way] += h.strokes(field, "enter")
			}
			for strings.Contains(h.app.View(), "SURE?") {
				keys[way] += h.strokes("enter")
			}
		}
		for _, line := range h.bench().story().Lines[len(before):] {
			made[way] = append(made[way], fmt.Sprintf("%+v", line.Entry.What))
		}
	}
	if len(made[0]) != len(sitting) || !slices.Equal(made[0], made[1]) {
		t.Errorf("in full it makes\n%q, in short\n%q", made[0], made[1])
	}
	t.Logf("%d keys in full, %d in short", keys[0], keys[1])
	if 100*keys[1] > 60*keys[0] {
		t.Errorf("%d keys where %d were needed", keys[1], keys[0])
	}
}

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
