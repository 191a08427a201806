package report

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
	bow := model.Bow{Name: "Ash", Units: measure.Imperial(), Handle: 4,
		HandleDepth: measure.Some(measure.Length(1.25)),
		Order:       model.Order{Draw: measure.Some(measure.Length(28)), DrawTo: model.ToBelly, Due: "2027-01-30"}}
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
	parts, err := Checks(shop, story, advice.Advice{})
	if err != nil {
		t.Fatal(err)
	}
	all := ""
	for _, p := range parts {
		all += p.Heading + "\n" + strings.Join(p.Texts, "\n") + "\n"
	}
	for _, want := range []string{
		"The day that it was promised for, 2027-01-30, is 2 days past.",
		// The back lies 1 1/4 in behind the belly, the published length is the draw from the pivot and 1 3/4
		// in.
		"28 in to the belly, as the tree shows it; 29 1/4 in to the back",
		"String: 69 in between the loops for 72 in nock to nock",
		"No strain can be told before the bow was read.",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in\n%s", want, all)
		}
	}
}

// The rule of the target longbow, in a coach's manual (read): nock to nock not shorter than 5 ft for arrows
// to 26 in, else 5 ft 6 in, and the depth 5/8 of the width at least. The rule of the target flatbow, in a
// rule book (read): 150 cm at least, 160 cm for men.
func TestABowIsHeldAgainstThePublishedRules(t *testing.T) {
	const tooShort, tooShortForThem = "The rule of the target longbow asks for 5 ft at least", "The rule of " +
		"the target longbow asks for 5 ft 6 in at least for arrows over 26 in"
	for _, c := range []struct {
		name     string
		section  model.Section
		limb     measure.Length // with 4 in of handle the bow is 4 in longer than two of them
		draw     measure.Length
		thickest float64 // depth by width
		want     string  // the one that is to be thought of; "" for none
	}{
		{"6 ft, 28 in", model.SectionD, 34, 28, 0.7, ""},
		{"5 ft 6 in, 28 in", model.SectionD, 31, 28, 0.7, ""},
		{"5 ft 5 in, 28 in", model.SectionD, 30.5, 28, 0.7, tooShortForThem},
		{"5 ft 5 in, 24 in", model.SectionD, 30.5, 24, 0.7, ""},
		{"5 ft, 24 in", model.SectionD, 28, 24, 0.7, ""},
		{"4 ft 11 in, 24 in", model.SectionD, 27.5, 24, 0.7, tooShort},
		{"5/8 deep", model.SectionD, 34, 28, 0.625, ""},
		{"shallower", model.SectionD, 34, 28, 0.6, "The rule of the target longbow asks for a depth of 5/8 of the " +
			"width at least; the upper limb at 6 in has 0.60 of it"},
		{"a flatbow of 163 cm", model.SectionRectangle, 30, 28, 0.3, ""},
		{"a flatbow of 157 cm", model.SectionRectangle, 29, 28, 0.3,
			"The rule of the target flatbow asks for 160 cm nock to nock for men; this one has 157 cm."},
		{"a flatbow of 147 cm", model.SectionRectangle, 27, 28, 0.3,
			"The rule of the target flatbow asks for 150 cm nock to nock at least; this one has 147 cm."},
	} {
		shop := session.Open(booktest.New(), session.Options{Now: func() time.Time {
			return time.Date(2027, 2, 1,
				9, 0, 0, 0, time.UTC)
		}})
		bow := model.Bow{Name: "Ash", Units: measure.Imperial(), Handle: 4,
			HandleDepth: measure.Some[measure.Length](1.25), Section: c.section,
			Order: model.Order{Draw: measure.Some(c.draw), DrawTo: model.ToBelly}}
		for _, side := range model.Sides {
			bow.Limbs[side] = model.Limb{Length: c.limb, Stations: []measure.Length{6}}
		}
		bow.Limbs[model.Upper].Widths = []measure.Optional[measure.Length]{measure.Some[measure.Length](1.2)}
		bow.Limbs[model.Upper].Depths = []measure.Optional[measure.Length]{measure.Some(measure.Length(1.2 * c.thickest))}
		got, err := Warnings(shop, bow)
		switch {
		case err != nil:
			t.Fatal(err)
		case c.want == "" && len(got) > 0, c.want != "" && (len(got) != 1 || !strings.HasPrefix(got[0], c.want)):
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// Strain is told where it was reckoned, and marked where it is more than the wood is surely said to stand:
// for white ash 0.8 to 1 % (see model/wood).
func TestStrainIsMarkedWhereItIsMuch(t *testing.T) {
	bow := model.Bow{Name: "Ash", Wood: "ash", Units: measure.Imperial(), Handle: 4}
	for _, side := range model.Sides {
		bow.Limbs[side] = model.Limb{Length: 34, Stations: []measure.Length{6, 8}}
	}
	shop := session.Open(booktest.New(), session.Options{Now: func() time.Time {
		return time.Date(2027, 2, 1,
			9, 0, 0, 0, time.UTC)
	}})
	says := func(wood string, upper ...float64) string {
		bow.Name, bow.Wood = wood, wood
		id, err := shop.NewBow(bow, "")
		if err != nil {
			t.Fatal(err)
		}
		story, err := shop.Story(id)
		if err != nil {
			t.Fatal(err)
		}
		a := advice.Advice{Read: true}
		a.Limbs[model.Upper].Strain = upper
		return strings.Join(strainLines(story, a), "\n")
	}
	for _, c := range []struct {
		said string
		want []string
	}{
		{says("ash", 0.0075, 0.0085), []string{"6: 0.75  8: 0.85!",
			"It comes to 0.85 %, where marked (!) more than that is sure.", "stand 0.80 to 1.00 %"}},
		{says("white ash", 0.0075), []string{"6: 0.75\n", "a caution, never a licence."}},
		{says("plum", 0.0075), []string{"What this wood stands is not known here."}},
		{says("ash"), []string{"It is told where width and depth were measured at the stations; none were."}},
	} {
		for _, want := range c.want {
			if !strings.Contains(c.said, want) {
				t.Errorf("no %q in %q", want, c.said)
			}
		}
	}
}
