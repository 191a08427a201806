package ui

import (
	"strings"
	"testing"

	"bendbook/session/shop"
)

// What is half typed stays, whatever ends the form; what cannot be saved is not lost.

// What the book does not take stays typed and goes to a file; it is saved, or comes from there, once the book takes
// it again.
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
