package ui

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/ui/look"
)

// atTheBench sits down at the demo shop's bow with the stubborn flat spot.
func atTheBench(t *testing.T) *hands {
	h := sit(t, look.NoColour, true, 80, 24)
	h.press("/", "wren", "enter")
	h.see("Ash for Wren", "tillering, pass 5")
	return h
}

func TestAValueThatCannotBeIsRefusedInItsField(t *testing.T) {
	t.Parallel()
	for says, keys := range map[string][]string{
		"not a measure":        {"p", "abc"},
		"within the bow's own": {"p", "99"},
		"beyond the bow":       {"20.5", "enter", "31", "enter", "8 1/4"},
	} {
		h := atTheBench(t)
		h.press(keys...).press("enter")
		h.see("NO: ", says)
		// The field still holds what was typed, to be mended.
		h.press("backspace")
		h.miss("NO: ")
	}
}

func TestAReadOnlyBookSaysWhyNothingIsWritten(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	h.book.Locked = "another Bendbook has it"
	h.open(look.NoColour, 80, 24)
	h.see("To read only: another Bendbook has it")
	h.press("enter", "p")
	h.see("pull: the book is open to read only")
	h.press("7")
	h.see("Yew for Hollis")
	h.miss("1 of")
}

func TestTheRackFindsByTyping(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	h.press("/", "tam")
	h.see("Hickory for Tamsin")
	h.miss("Ash for Wren")
	h.press("esc")
	h.see("Ash for Wren")
	h.press("/", "over the dip")
	h.see("Found: yesterday: Better, but still flat over the dip", "> Ash for Wren")
	h.miss("Yew for Hollis")
	h.press("esc", "/", "nothing like it", "enter", "enter")
	h.see("no bow is chosen")
}

// What a bow taught stands under it on the rack, beside it, and on the bench of the next of its wood; a bow that isn't
// even is no pattern.
func TestALessonIsBroughtUpAndAnUnevenBowIsNotCopied(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.press("n", "Next time leave the lower limb longer.", "enter", "esc")
	h.see("Lesson of Ash for Wren: Next time leave the lower limb longer.")
	h.press("A")
	h.see("Ash for Wren isn't one to copy yet. It was drawn to 20 1/2 of 28 in: bring it")
	h.press("C")
	h.see("bows side by side", "Lesson of Ash for Wren: Next time leave the lower limb longer.")
	h.newBow(model.Bow{Name: "Next", Wood: "white ash", Limbs: limbs(6, 12)})
	h.open(look.NoColour, 80, 24)
	h.press("/", "nosuch")
	h.see("No bow matches; Esc shows all.")
	h.press("esc", "/", "white", "enter", "enter")
	h.see("You haven't read this bow yet.", "Lesson of Ash for Wren: Next time leave the lower limb longer.")
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

func TestABowIsSetAsideAndTakenInHandAgain(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	h.press("o", "horn ordered", "enter")
	h.see("2 in hand, 5 in the book")
	h.press("/", "hollis", "enter", "esc", "esc", "/", "hollis", "enter", "esc")
	h.see("Set aside: horn ordered.")
	h.press("o")
	h.see("Yew for Hollis is in hand again.", "3 in hand")
}

// One that was handed over is asked why it comes back.
func TestABowThatWasHandedOverComesBackForAReason(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	h.press("/", "tamsin", "enter", "esc", "o")
	h.see("Back from its customer")
	h.press("it creaks", "enter", "a loose nock", "enter", "enter")
	h.see("taken in hand again: it creaks; found: a loose nock", "Look it over, then weigh it")
}

func TestANewBowComesToTheBenchAndIsDescribedAnew(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, false, 80, 24)
	h.press("N")
	h.answers("Rowan", "Finch", "rowan", "71", "28", "1", "40lb", "1.3.2027", "more")
	h.see("lower limb  (33 1/2 in)", "section             (D)", "rule reads to (1/16 in)")
	h.answers("", "", "2", "", "", "", "34", "", "", "ellipse", "1/4", "8", "", "1/16", "0.1", "", "")
	h.see("Rowan", "40 lb ± 2 at 28 in to the belly", "You haven't read")
	h.press("d")
	h.see("Rowan · Change the description")
	h.press("down", "down", "down", "down", "down", "down")
	h.see("weight")
	h.press(slices.Repeat([]string{"backspace"}, 4)...)
	h.press("38", "ctrl+s")
	h.see("38 lb ± 2 at 28 in")
}

// One wrong reading among eighteen is put right without typing the others again.
func TestOneWrongReadingIsCorrectedInItsEntry(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.answers("20.5", "31", "3/8", "5/8", "1 7/16")
	h.press("ctrl+s", "e")
	h.see("pull to 20 1/2 in: 31.0 lb, 3 readings")
	h.press("enter")
	h.see("Correct: Pull", "1 of 18", "was 20 1/2")
	h.press("down", "down", "down", "down", "backspace", "backspace", "backspace", "backspace", "backspace", "backspace", "1 1/4", "enter", "ctrl+s")
	h.see("Corrected: pull to 20 1/2 in: 31.0 lb, 3 readings")
	h.see("upper: 3/8, 5/8, 1 1/4", "(void: corrected)")
	if line, _ := h.app.top().(*entries).chosen(); !line.Counts() {
		t.Errorf("the mark is on %+v", line)
	}
	// A pull of an earlier pass counts for that one.
	h.press("pgdown", "down", "down", "down", "down", "down", "down")
	old, _ := h.app.top().(*entries).chosen()
	h.press("enter", "down", "backspace", "backspace", "backspace", "backspace", "24.2", "ctrl+s")
	h.see("Corrected: pull to 16 1/2 in: 24.2 lb, 16 readings")
	if line, _ := h.app.top().(*entries).chosen(); line.Pass != old.Pass || !line.Entry.At.Equal(old.Entry.At) {
		t.Errorf("the correction of %+v is %+v", old, line)
	}
}

func TestManyStationsAreScrolled(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, false, 80, 24)
	h.press("N").answers("Thirty", "", "", "72", "", "", "", "", "more", "", "", "", "", "", "", "", "", "every 1").press("ctrl+s")
	h.see("You haven't read")
	h.press("enter")
	h.see("PULL  string", "Enter alone: long")
	h.answers("", "12", "10", "1/16")
	h.press("ctrl+s")
	h.see("at    lower", "...")
	h.miss(" 34        -")
	h.press(slices.Repeat([]string{"pgdown"}, 8)...)
	h.see(" 34        -")
	h.miss("...")
}

func TestTheRackSaysWhatIsHalfTypedAndWhatIsDamaged(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.answers("20")
	h.press("esc")
	h.open(look.NoColour, 80, 24)
	h.see("Ash for Wren: a form is half typed (pull)")
	h.press("down")
	h.see("Half typed: pull")
	row, _ := h.app.top().(*rack).chosen()
	h.book.Damage = map[string]error{row.Bow.ID: errors.New("an entry's checksum is wrong")}
	h.open(look.NoColour, 80, 24)
	h.see("Yew for Hollis")
	h.press("/", "wren", "enter")
	h.see("an entry's checksum is wrong", "damaged")
	h.press("esc")
	h.see("damaged", "Yew for Hollis")
}

// What went wrong is told whole: its end says what to do.
func TestALongFailureIsToldWhole(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.answers("20.5", "31")
	h.book.Fail = errors.New("adding to bow 01JHYEX0000000000000000000 in /home/somebody/.local/share/bendbook/bows.book: " +
		"the disk is full (no space left on device); make room and save again; what you saved before is safe")
	h.press("ctrl+s")
	h.see("make room and save again", "ctrl+s again, ctrl+o to a file")
	h.fits(80, 24)
	h.resize(60, 20)
	h.see("save again")
	h.fits(60, 20)
}

// Numbers with long fractions keep a blank between them.
func TestLongFractionsStandApart(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, false, 80, 24)
	far, near := measure.Some[measure.Length](13.0625), measure.Some[measure.Length](10.25)
	h.newBow(model.Bow{Name: "Long", Limbs: limbs(22.5, 30.0625)},
		model.Pull{Draw: 20, From: model.FromLine, Readings: model.Readings{{near, far}, {near, near}}},
		model.Scrape{From: 4, To: 30},
		model.Pull{Draw: 20, From: model.FromLine, Readings: model.Readings{{far, far}, {near, near}}})
	h.open(look.NoColour, 80, 24)
	h.press("enter")
	h.see(" 22 1/2   10 1/4  13 1/16 +2 13/16", "30 1/16   10 1/4  13 1/16 +2 13/16")
}

// A story of one pass shows it once, and its head names the station whole.
func TestAStoryOfOnePassShowsItOnce(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, false, 80, 24)
	one := []measure.Optional[measure.Length]{measure.Some[measure.Length](1)}
	h.newBow(model.Bow{Name: "One", Limbs: limbs(8.0625, 8.5), Aim: model.Aim{TillerAt: measure.Some[measure.Length](8.0625)}},
		model.Pull{Draw: 12, From: model.FromLine, Readings: model.Readings{one, one}})
	h.open(look.NoColour, 80, 24)
	h.press("enter", "t")
	h.see("1 pass", "> 0 ")
	h.press("enter")
	if n := strings.Count(h.app.View(), "> pass 0"); n != 1 {
		t.Errorf("it is shown %d times", n)
	}
	h.fits(80, 24)
}
