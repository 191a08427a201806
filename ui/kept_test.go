package ui

import (
	"cmp"
	"strings"
	"testing"

	"bendbook/session/shop"
	"bendbook/ui/look"
)

// What is half typed stays, whatever ends the form; what cannot be saved is not lost.

func TestAHalfTypedFormIsOfferedAgainAfterAnyExit(t *testing.T) {
	t.Parallel()
	for name, exit := range map[string]func(h *hands){
		"esc":    func(h *hands) { h.press("esc") },
		"ctrl+c": func(h *hands) { h.press("ctrl+c") },
		"hangup": func(h *hands) { h.send(leaveMsg{}) },
	} {
		t.Run(name, func(t *testing.T) {
			h := atTheBench(t)
			h.answers("20.5", "31")
			h.press("3/")
			exit(h)
			h.open(look.NoColour, 80, 24)
			h.press("/", "wren", "enter")
			h.see("A half-typed pull from 2027-02-01 09:00 is kept: c takes it up again.")
			h.press("c")
			h.see("Taken up where you left it", "3 of 18", "31", "3/")
			h.press("ctrl+x")
			h.see("Throw away what you typed? ctrl+x again.")
			h.press("ctrl+x")
			h.see("Thrown away; u brings it back.")
			h.press("p")
			h.miss("Taken up")
			h.press("esc", "u")
			h.see("u again undoes this: half-typed pull thrown away.")
			h.press("u", "c")
			h.see("Taken up where you left it", "3 of 18", "31", "3/")
		})
	}
}

// What is no entry of the bench's own is taken up there too, as where it was begun.
func TestAnyHalfTypedFormIsTakenUpAtTheBench(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		begin []string // at the bench, to the rack again
		said  string
		finds []string
		of    string // "" is Ash for Wren
	}{
		"description": {[]string{"d", "x", "enter", "esc", "esc"}, "description", []string{"Change the description", "Ash for Wrenx"}, ""},
		"correction":  {[]string{"n", "dry", "enter", "e", "enter", "x", "esc", "esc", "esc"}, "correction", []string{"Correct: Note", "dryx"}, ""},
		"weighing":    {[]string{"f", "W", "27", "enter", "esc", "esc", "esc"}, "weighing", []string{"Weigh at the ordered draw", "27"}, ""},
		"aside":       {[]string{"esc", "o", "horn", "esc"}, "setting aside", []string{"Set aside", "horn"}, ""},
		"another": {[]string{"esc", "esc", "/", "tamsin", "enter", "esc", "A", "x", "enter", "esc"}, "bow like this one", []string{"Another like"},
			"Hickory for Tamsin"},
	} {
		t.Run(name, func(t *testing.T) {
			h := atTheBench(t)
			h.press(c.begin...)
			h.see("Half typed: " + c.said)
			h.open(look.NoColour, 120, 24)
			of := cmp.Or(c.of, "Ash for Wren")
			h.see(of + ": a form is half typed (" + c.said + "). On the bench c takes it up again.")
			h.press("/", of, "enter")
			h.see("A half-typed " + c.said + " from ")
			h.press("c")
			h.see(append(c.finds, "Taken up where you left it")...)
		})
	}
}

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
