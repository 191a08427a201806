package ui

import (
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/model/finish"
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

func TestTheHoldClockRunsFromDrawnToDownAndStaysWithThePull(t *testing.T) {
	t.Parallel()
	h := atTheTree(t)
	h.press(" ")
	h.see("Rowan · drawn", "it rings after 5 s", "Don't hold it at full draw", "Nothing is saved until you "+
		"save the pull.")
	h.goesBy(4900 * time.Millisecond)
	if h.bells != 0 {
		t.Fatalf("it rang %d times before its time", h.bells)
	}
	h.goesBy(100 * time.Millisecond)
	if h.bells != 1 {
		t.Fatalf("it rang %d times at its time", h.bells)
	}
	h.goesBy(2340 * time.Millisecond)
	if h.bells != 3 {
		t.Errorf("it rang %d times, want once more with each second", h.bells)
	}
	if h.entries() != 0 {
		t.Error("the clock wrote into the book")
	}
	late := h.ticks[0].msg
	h.press(" ")
	h.reads("Rowan · Pull", "1 of 9", "held 7.3", "Held 7.3 s; it is kept with the pull.")
	// What was timed is on disk before a key is typed: a kill leaves it.
	h.open(look.NoColour, 80, 24)
	h.press("enter", "c")
	h.reads("held 7.3")
	// It costs no key: after the peak comes the first station.
	h.answers("12", "20")
	h.see("UPPER LIMB  6 in")
	h.answers("1/4", "1/2", "1", "1/4", "1/2", "1", "") // and which string
	h.see("pull to 12 in: 20.0 lb, on the long string, held 7.3 s, 6 readings")
	// A tick that was under way when it stopped does nothing.
	bells := h.bells
	h.send(late)
	if h.bells != bells || h.entries() != 1 {
		t.Error("a clock that stopped goes on")
	}
}

func TestTheShopSaysWhenTheClockRings(t *testing.T) {
	t.Parallel()
	h := atTheTree(t)
	settings := finish.Usual()
	settings.Tree.Hold = 2.5
	if err := h.shop.KeepSettings(settings); err != nil {
		t.Fatal(err)
	}
	h.press(" ")
	h.see("it rings after 2.5 s")
	h.goesBy(2500 * time.Millisecond)
	if h.bells != 1 {
		t.Errorf("it rang %d times", h.bells)
	}
	// A clock that was forgotten stops ringing.
	h.goesBy(time.Minute)
	if h.bells != mostRings {
		t.Errorf("in a minute it rang %d times", h.bells)
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
}

func TestAForgottenClockWritesNothing(t *testing.T) {
	t.Parallel()
	h := atTheTree(t)
	h.press(" ", "esc")
	h.see("You haven't read")
	// Longer than any bow is held: it is said, and not filled in.
	h.ticks = nil
	h.press(" ")
	h.clock = h.clock.Add(time.Hour)
	h.press(" ")
	h.see("Rowan · Pull", "nothing is filled in")
	h.miss("held   ")
	h.press("esc")
	if drafts, err := h.book.Drafts(); err != nil || len(drafts) != 0 {
		t.Errorf("drafts %v (%v)", drafts, err)
	}
}
