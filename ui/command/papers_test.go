package command

import (
	"strings"
	"testing"

	"bendbook/session/booktest"
)

// A card goes to a customer: of an unfinished bow there is none, and it says what is missing and what is next.
func TestAnUnfinishedBowHasNoCard(t *testing.T) {
	rec := booktest.Situation(t, "the upper limb is stiff from 14 to 22 in")
	d := newDesk()
	d.In = strings.NewReader(booktest.Written(t, rec))
	run := func(args ...string) int {
		d.out.Reset()
		d.err.Reset()
		return Run(d.World, args)
	}
	if code := run("import", "-"); code != exitDone {
		t.Fatal(code, d.err.String())
	}
	if code := run("card", rec.Bow.ID); code != exitFailed || d.out.Len() > 0 {
		t.Errorf("it ended with %d and wrote %q", code, d.out.String())
	}
	for _, want := range []string{"no card yet, not done: ", "weighed", "varnish", "a number", "Scrape the upper limb"} {
		if !strings.Contains(d.err.String(), want) {
			t.Errorf("it doesn't say %q: %s", want, d.err.String())
		}
	}
	code := run("card", rec.Bow.ID, "--draft")
	if code != exitDone || !strings.Contains(d.out.String(), "DRAFT. Not done yet: ") {
		t.Errorf("with --draft it ended with %d: %s%s", code, d.err.String(), d.out.String())
	}
}
