package ui

import (
	"fmt"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/model"
	"bendbook/session/shop"
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

// What is half typed stays, whatever ends the form; what cannot be saved is not lost.

// What the book does not take stays typed and goes to a file; it is saved, or comes from there, once the
// book takes it again.
func TestABookThatCannotBeWrittenLosesNothingThatWasTyped(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	before := h.entries()
	h.answers("20.5", "31")
	h.press("ctrl+o")
	h.see("to a file: ctrl+s saves it in the book")
	h.book.Fail = errFull
	h.answers("3/8")
	h.see("the disk is full")
	h.press("ctrl+s")
	h.see("not saved", "ctrl+s again, ctrl+o to a file", "ctrl+s save now  ctrl+o to a file", "31")
	if h.entries() != before {
		t.Fatal("an entry was added although the book could not be written")
	}
	h.press("ctrl+o")
	h.see("not written", "What you typed is still here") // the disk of the file is the same one
	if len(h.saved) > 0 {
		t.Fatalf("saved %v", h.saved)
	}
	h.elsewhere = true
	h.press("ctrl+o")
	h.see("Written: /shop/", "-unsaved.json", "what you typed is still here", "31")
	h.book.Fail = nil
	for name, text := range h.saved {
		if err := h.shop.Import(strings.NewReader(text), func(done shop.Imported) {
			if done.New || done.Entries != 1 || done.DescribedElse {
				t.Errorf("%s brings %s", name, done)
			}
		}); err != nil {
			t.Fatal(err)
		}
	}
	if n := h.entries(); n != before+1 {
		t.Errorf("%d entries, before %d", n, before)
	}
	h.press("ctrl+s")
	h.sure().see("Saved 09:00: pull to 20 1/2 in: 31.0 lb, 1 reading")
	if n := h.entries(); n != before+2 {
		t.Errorf("%d entries, before %d: the form was not saved", n, before)
	}
}

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
