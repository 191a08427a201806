package ui

import (
	"strings"
	"testing"
	"time"

	"bendbook/session/shop"
	"bendbook/ui/look"
)

// What is wrong with an order is told when it is saved; it is kept all the same.
func TestAnOrderThatMakesOneThinkIsSavedAndToldOf(t *testing.T) {
	t.Parallel()
	clock := time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC)
	h := shopOf(t, 1, &clock)
	h.press("n").answers("Ash for Ines", "", "ash", "", "Ines", "28", "2", "35", "1", "2027-01-01", "4", "", "1", "34", "33").press("ctrl+s")
	h.reads("Saved. To think of: The draw is ordered to the back, and the depth of the handle is not known", "And 1 more: f, then o.")
	h.press("f", "o")
	h.reads("The day that it was promised for, 2027-01-01, is 31 days past.")
	h.press("esc", "m")
	h.reads("mark: the draw is ordered to the back, and the depth of the handle is not known: describe it first")
	h.press("esc", "esc")
	h.reads("1 late, 1 in hand", "LATE 31 d")
}

// A shop that works otherwise: three coats, two days for each, its own words, and the weight rounded to the nearest.
func TestAShopOfAnotherPractice(t *testing.T) {
	t.Parallel()
	clock := time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC)
	h := shopOf(t, 1, &clock)
	err := h.shop.SetSettings([]byte(`{"format":"bendbook/shop","version":1,"mark":{"text":"{weight}# {draw}\" {number}","round":"nearest"},
		"number":{"pattern":"No. {count}","start":112,"alone":true},
		"stages":[{"name":"tillered","seen":"at weight"},{"name":"shaved","takes_wood":true},{"name":"weighed","seen":"weighed"},{"name":"stamped","seen":"marked"},
		{"name":"lacquer","coats":3,"rest_hours":48,"must":true},{"name":"sent off","seen":"handed over"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	if err := h.shop.Import(strings.NewReader(finishedAsh), func(shop.Imported) {}); err != nil {
		t.Fatal(err)
	}
	h.press("n").answers("Yew for Jo", "", "yew", "", "Jo", "28", "1", "40", "", "2027-02-05", "4", "1.25", "1", "36", "36").press("ctrl+s")
	h.pulls("28", "42")
	h.press("f")
	// Six days of drying from the 1st: the 7th, two days late.
	h.reads("> shaved NEXT", "ready 2027-02-07 at the earliest, 3 coats to come", "CANNOT BE READY: 2 days late", `will be about: 40# 28"`)
	h.press("enter")
	h.weighs("41.4")
	h.reads("> stamped NEXT", "41.4 finished - 1.0 = 40.4") // yew: common practice, the shop has no yew yet
	h.press("enter")
	h.reads(`Stamp: 40# 28" No. 112`)
	h.press("d", "-2", "enter") // the first coat was two days ago
	h.reads("lacquer NEXT coat 1 2027-01-30; 2 of 3 to come", "ready 2027-02-05 at the earliest")
	for range 2 {
		h.press("enter")
		clock = clock.AddDate(0, 0, 2)
	}
	h.press("enter")
	h.reads("Handed over. h is the card that goes with it.", "sent off done 2027-02-05")
	h.press("u")
	h.reads("Undone: handed over.", "> sent off NEXT")
}

// A slip of the hand in the list of stages costs no entry.
func TestAStageFarAheadIsAskedAbout(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 140, 30)
	h.press("f", "down", "down", "down", "down", "down", "down")
	before := h.entries()
	h.press("enter")
	h.see("Not done before it: ", "Enter again logs it all the same.")
	if h.entries() != before {
		t.Error("it was logged unasked")
	}
	h.press("enter")
	h.see("Saved ")
	if h.entries() != before+1 {
		t.Errorf("there are %d entries, want one more than %d", h.entries(), before)
	}
}
