package ui

import (
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/ui/look"
)

// atTheTree is a new bow at the bench.
func atTheTree(t *testing.T) *hands {
	t.Helper()
	h := handsOn(t)
	h.newBow(model.Bow{Name: "Rowan", Limbs: limbs(6, 8, 12)})
	h.open(look.NoColour, 80, 24)
	return h.press("enter")
}

// goesBy lets time pass, with each tick that was asked for when its time has come.
func (h *hands) goesBy(d time.Duration) {
	h.t.Helper()
	for end := h.clock.Add(d); ; {
		if len(h.ticks) != 1 {
			h.t.Fatalf("%d ticks are on their way, want 1", len(h.ticks))
		}
		next := h.ticks[0]
		if h.clock.Add(next.after).After(end) {
			h.ticks[0].after -= end.Sub(h.clock)
			h.clock = end
			return
		}
		h.clock = h.clock.Add(next.after)
		h.ticks = nil
		h.send(next.msg)
	}
}

// Keys that come while the clock runs are not lost: a digit is the first of the draw, whatever ticks come between.
func TestTickingLosesNoKey(t *testing.T) {
	t.Parallel()
	h := atTheTree(t)
	h.press(" ")
	h.goesBy(3 * time.Second)
	tick := h.ticks[0].msg
	for _, r := range "12" {
		h.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
		h.send(tick)
	}
	h.press("enter")
	h.reads("2 of 9", "held 3")
	h.press("ctrl+s", "enter") // on the long string
	h.see("pull to 12 in, on the long string, held 3 s.")
	// A tick that was under way when the clock stopped does nothing.
	if h.send(tick); h.bells != 0 || h.entries() != 1 {
		t.Error("a clock that stopped goes on")
	}
}
