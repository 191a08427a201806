package ui

import (
	"errors"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/ui/look"
)

// The first screen is drawn before the book was looked through; what is wrong with it ends the program then, and Run says it.
func TestAFlawThatIsFoundWhileTheRackShowsEndsTheProgram(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	flaw := errors.New("it is damaged")
	h.book.Flaw = flaw
	h.app.drawn, h.hold = false, true
	h.send(tea.WindowSizeMsg{Width: 80, Height: 24})
	h.see("Yew for Hollis")
	h.settle(0)
	if !errors.Is(h.app.flaw, flaw) || !h.app.ended {
		t.Errorf("the flaw is %v, ended is %t", h.app.flaw, h.app.ended)
	}
}

// A book without tags, as an import or an earlier program leaves it, shows at once, and says how much of it is still to be read.
func TestABookWithoutTagsIsReadBitByBit(t *testing.T) {
	t.Parallel()
	h := &hands{t: t}
	h.shop = shopIn(large(t, 250, 20, 0))
	h.hold = true
	h.open(look.NoColour, 80, 24)
	h.settleAll(1) // the screen is drawn
	h.see("reading the book, 250 to come", "Reading the book...")
	h.settleAll(1)
	h.see("reading the book, 150 to come", "> Bow ")
	h.hold = false
	h.press("t")
	h.see("what can be done", "to come")
	h.press("esc")
	h.settleAll(3)
	h.see("50 in hand, 250 in the book")
	h.miss("to come")
}

// settleAll does what was held, and what comes of that, so many times over; the rest is held again.
func (h *hands) settleAll(times int) {
	h.t.Helper()
	for range times {
		held := h.held
		h.held, h.hold = nil, true
		for _, cmd := range held {
			h.do(cmd)
		}
	}
}
