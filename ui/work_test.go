package ui

import (
	"fmt"
	"testing"

	"bendbook/model"
	"bendbook/ui/look"
)

// atTheBench sits down at the demo shop's bow with the stubborn flat spot.
func atTheBench(t testing.TB) *hands {
	h := sit(t, look.NoColour, true, 80, 24)
	h.press("/", "wren", "enter")
	h.see("Ash for Wren", "tillering, pass 5")
	return h
}

func TestAValueThatCannotBeIsRefusedInItsField(t *testing.T) {
	t.Parallel()
	for says, keys := range map[string][]string{
		"not a measure":        {"p", "abc"},
		"within the bow's own": {"p", "99"},
		"beyond the bow":       {"20.5", "enter", "31", "enter", "8 1/4"},
	} {
		h := atTheBench(t)
		h.press(keys...).press("enter")
		h.see("NO: ", says)
		// The field still holds what was typed, to be mended.
		h.press("backspace")
		h.miss("NO: ")
	}
}

// TestTheChosenBowIsInSightAmongMany, also where the heading of those not in hand takes a line of the list.
func TestTheChosenBowIsInSightAmongMany(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, false, 80, 24)
	for i := range 40 {
		bow := h.newBow(model.Bow{Name: fmt.Sprintf("Bow %d", i), Limbs: limbs()})
		if err := bow.SetAside(i < 20, ""); err != nil {
			t.Fatal(err)
		}
	}
	h.open(look.NoColour, 80, 24)
	for range 40 {
		h.see("> Bow")
		h.press("down")
	}
}

// One wrong reading among eighteen is put right without typing the others again.
func TestOneWrongReadingIsCorrectedInItsEntry(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.answers("20.5", "31", "3/8", "5/8", "1 7/16")
	h.press("ctrl+s", "e")
	h.see("pull to 20 1/2 in: 31.0 lb, 3 readings")
	h.press("enter")
	h.see("Correct: Pull", "1 of 18", "was 20 1/2")
	h.press("down", "down", "down", "down", "backspace", "backspace", "backspace", "backspace", "backspace", "backspace", "1 1/4", "enter", "ctrl+s")
	h.see("Corrected: pull to 20 1/2 in: 31.0 lb, 3 readings")
	h.see("upper: 3/8, 5/8, 1 1/4", "(void: corrected)")
	if line, _ := h.app.top().(*entries).chosen(); !line.Counts() {
		t.Errorf("the mark is on %+v", line)
	}
	// A pull of an earlier pass counts for that one.
	h.press("pgdown", "down", "down", "down", "down", "down", "down")
	old, _ := h.app.top().(*entries).chosen()
	h.press("enter", "down", "backspace", "backspace", "backspace", "backspace", "24.2", "ctrl+s")
	h.see("Corrected: pull to 16 1/2 in: 24.2 lb, 16 readings")
	if line, _ := h.app.top().(*entries).chosen(); line.Pass != old.Pass || !line.Entry.At.Equal(old.Entry.At) {
		t.Errorf("the correction of %+v is %+v", old, line)
	}
}
