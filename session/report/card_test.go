package report

import (
	"slices"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// linesOf are the lines of a bow's card after what happened to it, in a shop of such settings.
func linesOf(
	t *testing.T, change func(*model.Bow, *finish.Settings), events ...model.Event,
) (facts, care []string) {
	t.Helper()
	bow, settings := longbow("Ash for Wren", ""), finish.Usual()
	bow.Order.For = "Wren"
	change(&bow, &settings)
	w := newWorkshop(t, bow)
	must(t, w.KeepSettings(settings))
	w.now = today
	w.add(t, events...)
	f, err := w.bench.Finishing()
	must(t, err)
	says, err := verdict.Of(w.story(), verdict.Usual(), nil)
	must(t, err)
	doc := Card(w.story(), f, &says)
	if len(doc.Facts) == 0 || len(doc.Parts) == 0 {
		t.Fatalf("the card is %+v", doc)
	}
	return doc.parts()[0].Blocks[0].List, doc.Parts[len(doc.Parts)-1].Blocks[0].List
}

func asIs(*model.Bow, *finish.Settings) {}

// at28 weighs the bow at the ordered draw.
func at28(peak measure.Force) model.Pull {
	return model.Pull{Draw: 28, Peak: measure.Some(peak), From: model.FromLine}
}

// finished is a bow's life to the handing over. It weighs 41.2 lb when it is finished, of which a pound or so
// goes in first use (common practice): 40 is stamped, rounded down.
func finished() []model.Event {
	return []model.Event{
		model.Braced{Height: measure.Some[measure.Length](6), From: model.FromString}, at28(42),
		model.Finish{Step: "sanded"}, at28(41.2), model.Finish{Step: "marked", Text: "40 lb @ 28 in 72 in"},
		model.Finish{Step: model.HandedOver, On: "2027-01-30"},
	}
}

func TestACardTellsWhatIsKnown(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*model.Bow, *finish.Settings)
		events []model.Event
		has    []string
		lacks  []string // beginnings
	}{
		"a bow that was only described": {asIs, nil,
			[]string{"For: Wren", "Wood: ash", "Length: 72 in nock to nock", "DRAFT. Not done yet: weighed, marked, varnish, a number"},
			[]string{"Handed over:", "Number:", "Draw weight:", "Brace height:", "String:", "Made by"}},
		"a finished one": {asIs, finished(),
			[]string{"Draw weight: 40 lb at 28 in to the belly", "Arrow: 400 grains (26 g) or heavier (common practice)",
				"Brace height: 6 in", "String: 70 1/2 in (computed) between the loops", "Handed over: 2027-01-30"}, []string{"Made by", "DRAFT"}},
		// What a bow weighs on the tree is not yet what its shooter will draw.
		"one that is still on the tree": {asIs, finished()[:2], nil, []string{"Draw weight:"}},
		// A string longer than the bow is the long string of the first tillering.
		"on a long string": {asIs, []model.Event{model.StringLength{Length: 75}},
			nil, []string{"String:"}},
		"with its own string": {asIs, []model.Event{model.StringLength{Length: 68.5, Material: "linen"}},
			[]string{"String: linen, 68 1/2 in between the loops"}, nil},
		"with a mark of its shop": {func(b *model.Bow, s *finish.Settings) {
			b.Number, s.Card.Maker = "12", "the oak leaf"
		}, nil, []string{"Number: 12", "Made by: the oak leaf"}, nil},
		"without an order": {func(b *model.Bow, _ *finish.Settings) { b.Order = model.Order{} }, nil,
			[]string{"Wood: ash"}, []string{"{", "Draw weight:"}},
		"in a shop's own words": {func(_ *model.Bow, s *finish.Settings) {
			s.Card.Facts = []string{"{wood}, {nothing}", "A bow of {wood}."}
		}, nil, []string{"A bow of ash."}, []string{"ash,", ", ", "{"}},
	} {
		facts, care := linesOf(t, c.change, c.events...)
		for _, want := range c.has {
			if !slices.Contains(facts, want) {
				t.Errorf("%s: no %q in %q", name, want, facts)
			}
		}
		for _, lack := range c.lacks {
			if strings.Contains("\n"+strings.Join(facts, "\n"), "\n"+lack) {
				t.Errorf("%s: it says %q", name, facts)
			}
		}
		// A bow without a draw is told no draw that it may not pass.
		never := "Never draw it farther than 28 in to the belly: it was made for that draw and no other."
		if (care[0] == never) == (name == "without an order") || strings.Contains(strings.Join(care, ""), "{") {
			t.Errorf("%s: the first care is %q", name, care[0])
		}
	}
}
