package ui

import (
	"fmt"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/ui/look"

	tea "github.com/charmbracelet/bubbletea"
)

// atTheBench sits down at the demo shop's bow with the stubborn flat spot.
func atTheBench(t testing.TB) *hands {
	h := sit(t, look.NoColour, true, 80, 24)
	h.press("/", "wren", "enter")
	h.see("Ash for Wren", "tillering, pass 5")
	return h
}

// TestTheChosenBowIsInSightAmongMany, also where the heading of those not in hand takes a line of the list.
func TestTheChosenBowIsInSightAmongMany(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, false, 80, 24)
	for i := range 40 {
		bow := h.newBow(model.Bow{Name: fmt.Sprintf("Bow %d", i), Limbs: limbs()})
		if err := bow.Add(model.Rack{InHand: i >= 20}, ""); err != nil {
			t.Fatal(err)
		}
	}
	h.open(look.NoColour, 80, 24)
	for range 40 {
		h.see("> Bow")
		h.press("down")
	}
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
