package ui

import (
	"testing"
)

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
