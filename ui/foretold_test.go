package ui

import (
	"testing"
)

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
