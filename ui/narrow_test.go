package ui

import (
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/ui/look"
)

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
	h.press("t")
	h.see("13 1/16 +2 13/16", " 22 1/2 ")
}

// To look at a screen changes nothing: it is scrolled as far as it goes, and back at once.
func TestLookingDoesNotScroll(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.press("a")
	for range 40 {
		h.press("pgdown")
	}
	end := h.app.View()
	h.press("up")
	if above := h.app.View(); above == end {
		t.Error("from the end one line up shows the same")
	}
	if h.press("down").app.View() != end {
		t.Error("one line up and down shows something else")
	}
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
	h.see("u - l at 8 1/16", "pass 0 drawn 12 in")
	if n := strings.Count(h.app.View(), "pass 0 drawn"); n != 1 {
		t.Errorf("it is shown %d times", n)
	}
	h.fits(80, 24)
}
