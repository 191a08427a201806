package ui

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/ui/look"
)

// The demo's ash has a flat spot in its upper limb, 14 to 22 in out (session/demo): the bench names it, and keeps forecast and
// stop line in sight.
func TestTheBenchSaysWhatTheReadingsSay(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.see("forecast at 28 in: 51.3 lb", "wanted 42 lb", "next: to 24 in", "at most 2 in beyond the longest so far")
	h.press("v")
	h.see("bend at 28 in", "aim", "90 % band", "Upper limb, 17 to 25 in: bends 20 % less than the aim (99 % sure it is less).")
	h.press("a")
	h.see("what the readings say", "Evenness")
	h.press("pgdown")
	h.see("Where to take wood", "Too heavy by 9.3 lb")
	h.press("pgdown", "pgdown")
	h.see("Tiller: upper gap less lower gap, braced", "wanted +1/4", "string follow", "Force-draw curve")
	h.press("esc", "left")
	h.see("looking at pass 4", "rough")
}

func TestAPullShowsWhatIsExpectedAndAsksAboutWhatIsNot(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.answers("21") // never drawn so before
	h.see("expected 34.8")
	h.answers("36.9")
	h.see("SURE? expected about 34.8", "now 36.9: Enter again to keep")
	h.press("enter")
	h.see("UPPER LIMB  6 in", "expected")
}

func TestAPullBeyondTheWantedWeightIsToldAtOnce(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.press("26", "enter", "enter", "46", "enter", "enter", "ctrl+s")
	h.see("The last pull weighed 46.0 lb, more than the 42.0 lb wanted on the tree.")
}

func TestBlockGapsAreEnteredAtTheBracedBow(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.press("k", "enter", "enter")
	h.answers("0.05", "0.06")
	h.press("ctrl+s")
	h.see("Saved 09:00: braced, 2 readings under a block of 6 in.")
}

// A bow of which nothing can be told says so nowhere louder than it must.
func TestABowWithoutReadingsHasNoAdvice(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, false, 80, 24)
	h.press("n")
	h.answers("Rowan")
	for range 12 {
		h.press("enter")
	}
	h.press("34", "enter")
	h.send(tea.KeyMsg{Type: tea.KeyCtrlS})
	h.press("a")
	h.see("advice: nothing was read yet")
}

// The aim is chosen in the description, also as the shape of a finished bow of the book.
func TestTheAimIsChosenInTheDescription(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.press("d")
	for range 15 {
		h.press("down")
	}
	h.see("AIM  bend", "3 stiffer at the handle, or as a finished bow: 4 as", "Hickory for Tamsin")
	for range "full compass" {
		h.press("backspace")
	}
	h.press("as hick", "enter", "ctrl+s")
	h.see("Saved.")
	h.press("d")
	h.see("bend as Hickory for Ta~")
	h.press("esc", "a")
	h.see("The aim is to bend as Hickory for Tamsin")
}
