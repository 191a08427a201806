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
