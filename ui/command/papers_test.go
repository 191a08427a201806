package command

import (
	"testing"

	"bendbook/session/booktest"
)

// A card goes to a customer: of an unfinished bow there is none, and it says what is missing and what is next.
func TestAnUnfinishedBowHasNoCard(t *testing.T) {
	rec := booktest.Situation(t, "the upper limb is stiff from 14 to 22 in")
	d := newDesk()
	d.does(t, exitDone, booktest.Written(t, rec), "import", "-")
	says(t, d.does(t, exitFailed, "", "card", rec.Bow.ID),
		"no card yet, not done: ", "weighed", "varnish", "a number", "Scrape the upper limb")
	if d.out.Len() > 0 {
		t.Errorf("it wrote %q", d.out.String())
	}
	says(t, d.does(t, exitDone, "", "card", rec.Bow.ID, "--draft"), "DRAFT. Not done yet: ")
}
