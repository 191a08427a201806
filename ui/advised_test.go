package ui

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/ui/look"
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

// A form that is opened meanwhile waits for what is expected, and shows it when it is there.
func TestAFormWaitsForWhatIsExpected(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.hold = true
	h.press("x", "30", "enter")
	h.answers("20")
	h.see("expected: working it out...")
	h.press("3", "0")
	h.settle(false)
	h.see("2 of 18", "expected 29.")
	h.miss("working it out")
	h.press("enter")
	h.see("UPPER LIMB  6 in")
}

// The bench is there before anything is worked out, and so is the screen that tells it.
func TestTheBenchOpensBeforeAnythingIsReckoned(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	h.hold = true
	h.press("/", "wren", "enter")
	h.see("Ash for Wren", "working it out...", "at    lower    upper")
	h.press("v", "a")
	h.see("what the readings say", "working it out...")
	h.send(tea.WindowSizeMsg{Width: 60, Height: 20})
	h.fits(60, 20)
	h.settle(false)
	h.see("Weight")
}

func TestAPullShowsWhatIsExpectedAndAsksAboutWhatIsNot(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.answers("21") // never drawn so before
	h.see("expected 31.6")
	h.answers("34")
	h.see("SURE? peak: expected about 31.6", "now 34.0; I'll ask at the end", "UPPER LIMB  6 in", "expected")
	h.press("ctrl+s")
	h.reads("PULL peak", "now 34.0: Enter again to keep, and save")
}
