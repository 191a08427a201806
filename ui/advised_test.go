package ui

import (
	"testing"
)

// A pull is saved and told before anything is worked out from it; until then the figures are marked as of before it.
func TestWhatThePullSaysComesAfterItIsSaved(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	before := h.bench().advice.SayForecast(h.bench().verdict)
	h.reads(before)
	h.hold = true
	h.press("26", "enter", "enter", "44", "enter", "ctrl+s", "enter")
	h.reads("Saved 09:00: pull to 26 in: 44.0 lb.", before, "before the last entry; working it out...")
	h.miss("44.0 lb at 26 in")
	h.fits(80, 24)
	h.settle(false)
	h.see("Stop pulling: it already weighs 44.0 lb at 26 in.")
	h.reads("43.0 lb is the most you want at 28 in.")
	h.miss("working it out")
}

// What was worked out before a later entry is marked as of before it, and the last entry is worked out next.
func TestAStaleReckoningIsMarkedAndReplaced(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	says, told := h.bench().advice, h.bench().verdict
	h.hold = true
	h.press("26", "enter", "enter", "44", "enter", "ctrl+s", "enter", "u")
	if len(h.held) != 1 {
		t.Fatalf("%d things are worked out at once, want 1", len(h.held))
	}
	h.settle(true)
	h.see("Stop pulling: it already weighs 44.0 lb", "before the last entry; working it out...")
	h.settle(true)
	h.reads(told.Say, says.SayForecast(told), says.SayStop(told))
	h.miss("Stop pulling")
	h.miss("working it out")
}
