package checks

import (
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/session/booktest"
)

func TestABowIsHeldAgainstItsOrder(t *testing.T) {
	now := time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC)
	shop := session.Open(booktest.New(), session.Options{Now: func() time.Time { return now }})
	bow := model.Bow{Name: "Ash", Units: measure.Imperial(), Handle: 4, HandleDepth: measure.Some(measure.Length(1.25)),
		Order: model.Order{Draw: measure.Some(measure.Length(28)), DrawTo: model.ToBelly, Due: "2027-01-30"}}
	for _, side := range model.Sides {
		bow.Limbs[side] = model.Limb{Length: 34, Stations: []measure.Length{6, 8}}
	}
	id, err := shop.NewBow(bow, "")
	if err != nil {
		t.Fatal(err)
	}
	story, err := shop.Story(id)
	if err != nil {
		t.Fatal(err)
	}
	parts, err := Of(shop, story, advice.Advice{})
	if err != nil {
		t.Fatal(err)
	}
	all := ""
	for _, p := range parts {
		all += p.Heading + "\n" + strings.Join(p.Texts, "\n") + "\n"
	}
	for _, want := range []string{
		"The day that it was promised for, 2027-01-30, is 2 days past.",
		// The back lies 1 1/4 in behind the belly, the published length is the draw from the pivot and 1 3/4 in.
		"28 in to the belly, as the tree shows it; 29 1/4 in to the back",
		"String: 69 in between the loops for 72 in nock to nock",
		"No strain can be told before the bow was read.",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in\n%s", want, all)
		}
	}
}
