package report

import (
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session/booktest"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

func TestABowIsHeldAgainstItsOrder(t *testing.T) {
	bow := longbow("Ash", "")
	bow.HandleDepth, bow.Order.Due = measure.Some(measure.Length(1.25)), "2027-01-30"
	w := newWorkshop(t, bow)
	w.now = today
	parts, err := Checks(w.Shop, w.story(), &verdict.Advice{})
	must(t, err)
	all := ""
	for _, p := range parts {
		all += p.Heading + "\n" + strings.Join(p.Texts, "\n") + "\n"
	}
	for _, want := range []string{
		"You promised it for 2027-01-30, 2 days ago.",
		// The back is 1 1/4 in behind the belly; the published length is the draw from the pivot and 1 3/4 in.
		"28 in to the belly, as the tree shows it; 29 1/4 in to the back",
		"Read the bow first: then its strain shows here.",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in\n%s", want, all)
		}
	}
}

// The rule of the target flatbow, in a rule book (read): 150 cm at least, 160 cm for men. model/order tries the
// longbow's.
func TestABowIsHeldAgainstThePublishedRules(t *testing.T) {
	s := shop.Open(booktest.New(), shop.Options{})
	for limb, want := range map[measure.Length]string{
		30: "", // and 4 in of handle: 163 cm
		29: "A target flatbow must be 160 cm or more nock to nock for men; this one is 157 cm.",
		27: "A target flatbow must be 150 cm or more nock to nock; this one is 147 cm.",
	} {
		bow := longbow("Ash", "")
		bow.Section, bow.HandleDepth = model.SectionRectangle, measure.Some[measure.Length](1.25)
		bow.Limbs = [2]model.Limb{{Length: limb}, {Length: limb}}
		got, err := Warnings(s, bow)
		if err != nil || strings.Join(got, "\n") != want {
			t.Errorf("limbs of %v in: %q (%v), want %q", limb, got, err, want)
		}
	}
}

// Strain is told where it was computed, and marked where it is more than the wood is surely said to stand:
// for white ash 0.8 to 1 % (see model/wood).
func TestStrainIsMarkedWhereItIsMuch(t *testing.T) {
	says := func(wood string, upper ...float64) string {
		bow := longbow(wood, "")
		bow.Wood = wood
		story := newWorkshop(t, bow).story()
		a := verdict.Advice{Read: true}
		a.Limbs[model.Upper].Strain = upper
		return strings.Join(strainLines(story, a), "\n")
	}
	for _, c := range []struct {
		said string
		want []string
	}{
		{says("ash", 0.0075, 0.0085), []string{"8: 0.75  16: 0.85!",
			"It comes to 0.85%; (!) marks where it may be too much.", "stand 0.80 to 1.00%"}},
		{says("white ash", 0.0075), []string{"8: 0.75\n", "a caution, never a licence."}},
		{says("plum", 0.0075), []string{"Bendbook has no figure for what this wood stands."}},
		{says("ash"), []string{"Measure width and depth at the stations: then it shows here."}},
	} {
		for _, want := range c.want {
			if !strings.Contains(c.said, want) {
				t.Errorf("no %q in %q", want, c.said)
			}
		}
	}
}
