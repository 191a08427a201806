package ui

import (
	"testing"
	"time"

	"bendbook/model"
	"bendbook/session/shop"
	"bendbook/ui/look"
)

// A read-only screen looks every second for what the book's holder has written, and shows it: the rack, and a
// bow that lies on the bench.
func TestAReadOnlyScreenShowsWhatItsHolderWrites(t *testing.T) {
	h := sit(t, look.NoColour, true, 80, 24)
	holder := h.shop
	h.shop = shop.Open(h.book, shop.Options{Now: holder.Now})
	h.book.Locked = "another has it"
	h.open(look.NoColour, 80, 24)
	look := func() {
		t.Helper()
		tick := h.ticks[len(h.ticks)-1]
		if tick.after > time.Second {
			t.Errorf("it looks after %v", tick.after)
		}
		h.send(tick.msg)
	}
	write := func(text string) {
		t.Helper()
		h.book.Locked = ""
		bow, err := holder.Find("yew for hollis")
		if err != nil {
			t.Fatal(err)
		}
		bench, err := holder.Bench(bow.ID)
		if err == nil {
			err = bench.Add(model.Rack{Why: text}, "")
		}
		if err != nil {
			t.Fatal(err)
		}
		h.book.Locked, h.book.Came = "another has it", true
	}
	h.app.Init()
	h.press("/", "hollis", "enter", "e")
	h.miss("for the horn")
	write("for the horn")
	look()
	h.see("entries, the newest first", "for the horn")
	h.press("esc", "esc")
	h.see("Set aside: for the horn.")
	write("for the buyer")
	look()
	h.press("down")
	h.see("Set aside: for the buyer.")
	if n := len(h.ticks); n != 3 {
		t.Errorf("it asked %d times to look again, want once at the beginning and once after each look", n)
	}
}
