package ui

import (
	"strings"
	"testing"
	"time"

	"bendbook/session/shop"
	"bendbook/ui/look"
)

// The weight wanted on the tree follows from what the shop's own bows lost: sanding 1.33 lb and first use 0.81 lb for ash make 37.1 lb of an order of 35
// (see TestABowFromTheOrderToTheHandover), where common practice would make 37.
func TestTheWeightWantedOnTheTreeIsLearnt(t *testing.T) {
	t.Parallel()
	clock := time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC)
	h := shopOf(t, 1, &clock)
	if err := h.shop.Import(strings.NewReader(finishedAsh), func(shop.Imported) {}); err != nil {
		t.Fatal(err)
	}
	h.open(look.NoColour, 80, 24)
	h.press("n").answers("Ash for Ines", "", "ash", "", "Ines", "28", "1", "35", "1", "2027-02-05", "4", "1.25", "1", "34", "33").press("ctrl+s")
	h.press("b").answers("6").press("ctrl+s")
	h.pulls("20", "25")
	h.reads("never past 37.1 lb")
}
