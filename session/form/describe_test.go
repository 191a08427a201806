package form

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/measure"
	"bendbook/session"
)

func TestNewBowWithAllThatMayBeAnswered(t *testing.T) {
	bow := filled(t, newBow(practice{}), map[string]string{
		"name": "Yew", "more": "2", "units": "1", "length": "71 3/4", "wood": "yew", "number": "27/1", "for": "Hollis", "draw": "28",
		"draw_to": "ba", "weight": "45lb", "allow": "2", "due": "2027-02-01", "handle": "4 1/4", "handle_depth": "1 1/4",
		"section": "2", "upper": "34", "lower": "33-1/2", "stations": "6 8 12 1/2", "bend": "ell", "tiller": "1/4",
		"tiller_at": "8", "stiff_tips": "10", "rule": "1/32", "scale": "1/2",
	}).Bow
	stations := []measure.Length{6, 8, 12.5}
	want := model.Bow{
		Name: "Yew", Wood: "yew", Number: "27/1", Units: measure.Imperial(), Handle: 4.25, HandleDepth: some(1.25),
		Section: model.SectionRectangle,
		Limbs:   [2]model.Limb{{Length: 34, Stations: stations}, {Length: 33.5, Stations: stations}},
		Order: model.Order{
			For: "Hollis", Draw: some(28), DrawTo: model.ToBack, Weight: force(45), Allow: force(2), Due: "2027-02-01",
		},
		Aim:  model.Aim{Bend: "ellipse", StiffTips: some(10), Tiller: some(0.25), TillerAt: some(8)},
		Rule: 1.0 / 32, Scale: 0.5,
	}
	if !reflect.DeepEqual(bow, want) {
		t.Errorf("the bow is\n%+v\nwant\n%+v", bow, want)
	}
}

func TestStationsFollowTheLimbs(t *testing.T) {
	for _, c := range []struct {
		name, length, upper, stations string
		want                          [2][]measure.Length
	}{
		{"usual, lower shorter", "44 1/2", "21", "", [2][]measure.Length{{6, 8, 12, 16, 20}, {6, 8, 12, 16}}},
		{"usual on very short limbs", "16", "7", "", [2][]measure.Length{{6}, {}}},
		{"a list", "72", "", "6, 8, 12 1/2, 34", [2][]measure.Length{{6, 8, 12.5, 34}, {6, 8, 12.5, 34}}},
		{"a list with blanks", "50", "34", "6 8 12 1/2 16½", [2][]measure.Length{{6, 8, 12.5, 16.5}, {6, 8}}},
		{"a fraction behind a blank", "72", "", "6 ½ 8 3/4", [2][]measure.Length{{6.5, 8.75}, {6.5, 8.75}}},
		{"every, to one nock", "35", "16", "Every  4in", [2][]measure.Length{{4, 8, 12, 16}, {4, 8, 12}}},
		{"in other units", "45", "34", "150mm 200mm", [2][]measure.Length{{150 / 25.4, 200 / 25.4}, {150 / 25.4}}},
	} {
		bow := filled(t, newBow(practice{}),
			map[string]string{"name": "Ash", "length": c.length, "more": "more", "upper": c.upper, "stations": c.stations}).Bow
		for side, want := range c.want {
			if got := bow.Limbs[side].Stations; !slices.Equal(got, want) {
				t.Errorf("%s: the %s limb is read at %v, want %v", c.name, model.Side(side), got, want)
			}
		}
	}
}

// The whole length is halved, less the handle; where one limb is told the other has the rest. Where both are,
// they must make the whole.
func TestTheLengthMakesTheLimbs(t *testing.T) {
	for _, c := range []struct {
		given map[string]string
		want  [2]measure.Length // zero where it is refused
	}{
		{map[string]string{"length": "72"}, [2]measure.Length{34, 34}},
		{map[string]string{"length": "183cm"}, [2]measure.Length{(183/2.54 - 4) / 2, (183/2.54 - 4) / 2}},
		{map[string]string{"length": "72", "more": "2", "handle": "5"}, [2]measure.Length{33.5, 33.5}},
		{map[string]string{"length": "72", "more": "2", "upper": "34 8"}, [2]measure.Length{34.5, 33.5}},
		{map[string]string{"length": "72", "more": "2", "lower": "33"}, [2]measure.Length{35, 33}},
		{map[string]string{"length": "71", "more": "2", "upper": "34", "lower": "33"}, [2]measure.Length{34, 33}},
		{map[string]string{"length": "72", "more": "2", "upper": "34", "lower": "33"}, [2]measure.Length{}},
	} {
		s := newBow(practice{})
		c.given["name"] = "Ash"
		fill(t, s, c.given)
		o, err := s.Finish()
		for side, want := range c.want {
			if got := o.Bow.Limbs[side].Length; want > 0 != (err == nil) || err == nil && math.Abs(float64(got-want)) > 1e-9 {
				t.Errorf("%v makes %v (%v), want %v", c.given, got, err, want)
			}
		}
	}
}

// The first page is what most orders say. What stands behind it says what Enter alone takes, and comes back
// once it is answered.
func TestMoreIsAskedForWhereItIsWanted(t *testing.T) {
	s := newBow(practice{})
	fill(t, s, map[string]string{"name": "Ash", "length": "70", "due": "1.3.2027"})
	if len(s.Questions) > 9 {
		t.Errorf("the first page has %d questions", len(s.Questions))
	}
	for name, want := range map[string]string{"due": "1.3.2027 is 2027-03-01", "draw": "", "weight": ""} {
		s.goTo(s.index(name))
		same(t, name, s.Heard("1.3.2027"), want)
	}
	s.goTo(s.index("more"))
	answered(t, s, "more")
	for name, want := range map[string]string{"upper": "33 in", "lower": "33 in", "handle": "4", "rule": "1/16 in", "scale": "0.1 lb",
		"stations": "6, 8, 12, 16, 20, 24, 28, 32", "units": "inches and pounds", "bend": "full compass"} {
		same(t, name, s.EnterAlone(s.index(name)), want)
	}
	fill(t, s, map[string]string{"handle": "5"})
	same(t, "with a handle of 5 in the lower limb", s.EnterAlone(s.index("lower")), "32 1/2 in")
	again := newBow(practice{})
	again.Restore(s.draft(time.Unix(0, 0)))
	if bow := must(again.Finish())(t).Bow; bow.Handle != 5 || bow.Order.Due != "2027-03-01" {
		t.Errorf("taken up again the bow is %+v", bow)
	}
}

// A customer's 28 is rarely to the belly: where it is measured to is asked with what each means, and Enter alone
// answers nothing. An order from before keeps what it has.
func TestADrawSaysWhereItIsMeasuredTo(t *testing.T) {
	s := newBow(practice{})
	fill(t, s, map[string]string{"name": "Ash", "length": "72", "draw": "28", "more": "2", "handle_depth": "2"})
	s.goTo(s.index("draw_to"))
	q, _ := s.Current()
	same(t, "it asks", q.Hint, "measured to what? On the tree that's: 1 belly 28, 2 back 26, 3 pivot+1.75 (trade) 26 1/4 in")
	if r := s.Answer(""); r.State != Refused || !strings.Contains(r.Says, "26 1/4") {
		t.Errorf("nothing was answered: %+v", r)
	}
	if _, err := s.Finish(); err == nil || !slices.Equal(s.Needed(), []string{"draw to"}) {
		t.Errorf("saved as if to the belly: %v, %q needed", err, s.Needed())
	}
	if r := s.Answer("back"); r.State != Taken || s.index("handle_depth") != s.at || s.index("weight") != s.at+1 {
		t.Errorf("%+v, and the handle's depth isn't asked next", r)
	}
	same(t, "the draw to the belly", must(s.Finish())(t).Bow.DrawToBelly(), some(26))
	old := ash()
	old.Order.Draw, old.Order.DrawTo = some(28), ""
	edit := editBow(storyOf(t, old), practice{})
	same(t, "an order from before", must(edit.Finish())(t).Bow.Order.DrawTo, "")
	fill(t, edit, map[string]string{"draw": "29"})
	if _, err := edit.Finish(); err == nil {
		t.Error("another draw, and nobody said to what")
	}
}

// Choices that were only left, as with the arrow key, are understood. What was typed before the units were
// chosen keeps its own.
func TestNewBowInMetricUnitsAsksInThem(t *testing.T) {
	s := newBow(practice{})
	for i := 0; i < len(s.Questions); i++ {
		s.goTo(i)
		s.leave(map[string]string{
			"name": "Ulme", "length": "72", "more": "m", "units": "2", "draw_to": "3", "section": "ell", "upper": "86",
		}[s.Questions[i].Name])
	}
	bow, in := must(s.Finish())(t).Bow, func(l measure.Length) float64 { return l.In(measure.Centimetre) }
	if bow.Order.DrawTo != model.ToPivot || bow.Section != model.SectionEllipse || in(bow.Handle) != 10 ||
		in(bow.Limbs[model.Upper].Stations[1]) != 20 || math.Abs(in(bow.Limbs[model.Lower].Length)-86.88) > 1e-9 {
		t.Errorf("the bow is %+v", bow)
	}
	if hint := s.Questions[s.index("draw")].Hint; !strings.Contains(hint, "such as 71") {
		t.Errorf("the draw's hint in centimetres is %q", hint)
	}
	bow = filled(t, s, map[string]string{"units": "inches", "upper": "34"}).Bow
	if bow.Units != measure.Imperial() || bow.Handle != 4 || bow.Limbs[model.Lower].Length != 34 {
		t.Errorf("after going back to inches the bow is %+v", bow)
	}
	fill(t, s, map[string]string{"units": "mill"})
	bow = filled(t, s, map[string]string{"length": "1820", "upper": "860"}).Bow
	if bow.Units.Length != measure.Millimetre || in(bow.Limbs[model.Upper].Length) != 86 {
		t.Errorf("in millimetres the bow is %+v", bow)
	}
}

// A new bow takes the shop's units, whatever they are, and days in the shop's order.
func TestANewBowTakesTheShopsUnits(t *testing.T) {
	mixed := measure.Units{Length: measure.Centimetre, Force: measure.PoundForce}
	for _, units := range []measure.Units{imperial, metric, mixed} {
		bow := filled(t, newBow(practice{Units: units, Dates: "day-month-year"}),
			map[string]string{"name": "Ash", "length": "72in", "due": "3.2.2027", "weight": "40lb"}).Bow
		if bow.Units != units || math.Abs(float64(bow.Length()-72)) > 1e-9 || bow.Order.Due != "2027-02-03" ||
			bow.Order.Weight.Or(0) != 40 {
			t.Errorf("%v: %+v", units, bow)
		}
	}
}

// TestFinishStandsAtTheAnswerThatALaterOneMadeWrong: a draw of 80 in fits any bow until its limbs are known.
func TestFinishStandsAtTheAnswerThatALaterOneMadeWrong(t *testing.T) {
	s := newBow(practice{})
	fill(t, s, map[string]string{"name": "Ash", "draw": "80", "draw_to": "belly"})
	fill(t, s, map[string]string{"length": "64"})
	_, err := s.Finish()
	if q, _ := s.Current(); err == nil || q.Name != "draw" || !strings.Contains(err.Error(), "draw: ") ||
		!strings.Contains(err.Error(), "64 in") {
		t.Errorf("the sheet stands at %s: %v", q.Name, err)
	}
	answered(t, s, "28")
	must(s.Finish())(t)
}

func TestEditBowGivesBackEveryBowThatIsNotChanged(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		story := storyOf(t, rapid.Custom(drawBow).Filter(isBow).Draw(t, "bow"))
		s := editBow(story, practice{})
		if s.any() || len(s.draft(story.LastAt()).Answers) > 0 {
			t.Fatal("something is answered before it was asked")
		}
		if rapid.Bool().Draw(t, "walk through") {
			for i := range s.Questions {
				given, _ := s.Given(i)
				answered(t, s, given)
			}
		}
		if bow := must(s.Finish())(t).Bow; !reflect.DeepEqual(bow, story.Bow()) {
			t.Fatalf("the bow comes back as\n%+v\nnot\n%+v", bow, story.Bow())
		}
		if s.any() {
			t.Fatal("what was confirmed as it stood was taken for a change")
		}
	})
}

func TestEditBowChangesWhatIsAnsweredAndNothingElse(t *testing.T) {
	bow := ash()
	bow.Handle, bow.Aim.Bend, bow.Cradle = 4.013, "compass", "clamped"
	bow.Limbs[model.Upper].Widths = []maybeLength{some(1.25), {}, some(1)}
	story := storyOf(t, bow)
	bow = story.Bow()
	got := filled(t, editBow(story, practice{}), map[string]string{
		"weight": "45", "number": "27/1", "draw": "", "rule": "1/32", "stations": "6, 12, 16",
	}).Bow
	bow.Order.Weight, bow.Number, bow.Order.Draw, bow.Rule = force(45), "27/1", maybeLength{}, 1.0/32
	bow.Limbs[model.Upper].Stations = []measure.Length{6, 12, 16}
	bow.Limbs[model.Lower].Stations = []measure.Length{6, 12, 16}
	// A width is measured at its station and goes where that goes.
	bow.Limbs[model.Upper].Widths = []maybeLength{some(1.25), some(1), {}}
	if !reflect.DeepEqual(got, bow) {
		t.Errorf("the bow is\n%+v\nwant\n%+v", got, bow)
	}
}

// Stations that were read stay, if only by a reading that is void now; others follow a limb that is cut.
func TestStationsThatWereReadStay(t *testing.T) {
	read := model.Relaxed{Readings: model.Readings{{some(0.1)}}}
	shop, _ := newShop()
	bench := benchOf(t, shop, ash(), read)
	story := bench.Story()
	must(bench, must(bench.Last(false))(t).Do())(t)
	void := bench.Story()
	for _, c := range []struct {
		question, text string
		state          State
		says           string
	}{
		{"stations", "6, 8, 12", Taken, ""}, {"stations", "6 8 12", Taken, ""},
		{"stations", "6, 8", Refused, "6, 8, 12"},
		{"stations", "every 4", Refused, "6, 8, 12"}, {"stations", "", Refused, "6, 8, 12"},
		{"upper", "10", Refused, "12 lies beyond"}, {"upper", "30", Taken, ""},
	} {
		for _, of := range []session.Story{story, void} {
			s := editBow(of, practice{})
			s.goTo(s.index(c.question))
			if got := s.Answer(c.text); got.State != c.state || !strings.Contains(got.Says, c.says) {
				t.Errorf("%s %q: %+v", c.question, c.text, got)
			}
		}
	}
	long := ash()
	long.Order.Draw = maybeLength{}
	bow := filled(t, editBow(storyOf(t, long), practice{}), map[string]string{"upper": "10", "lower": "7"}).Bow
	if len(bow.Limbs[model.Upper].Stations) != 2 || len(bow.Limbs[model.Lower].Stations) != 1 {
		t.Errorf("on limbs of 10 and 7 in: %+v", bow.Limbs)
	}
}

// Another like a bow has its order, size and aim, to the last digit, and none of what was that bow's alone.
func TestAnotherLikeABow(t *testing.T) {
	want := ash()
	want.Limbs[model.Upper].Length = 34.0123
	s := likeBow(want, "Ash", practice{})
	want.Name = "Ash for Ines"
	if bow := filled(t, s, map[string]string{"name": want.Name}).Bow; !reflect.DeepEqual(bow, want) {
		t.Errorf("%+v, want %+v", bow, want)
	}
}

// The aim is chosen by its name or the start of it; a finished bow's shape by that bow's, and by its place or
// id where two bows have one name.
func TestTheAimIsChosenByName(t *testing.T) {
	hickory, holly := ash(), ash()
	hickory.ID, hickory.Name, holly.ID, holly.Name = "H1", "Hickory for Tamsin", "H2", "Holly"
	other := holly
	other.ID = "H3"
	p := practice{Finished: []model.Bow{hickory, holly, other}}
	for typed, want := range map[string]string{
		"": aim.CompassName, "f": aim.CompassName, "2": aim.EllipseName, "Stiffer": aim.StiffHandleName,
		"as hi": aim.Like("H1"), "as Holly": aim.Like("H2"), "5": aim.Like("H2"),
		"6": aim.Like("H3"), "as Holly (": aim.Like("H3"),
	} {
		bow := filled(t, newBow(p), map[string]string{"name": "Ash", "length": "72", "more": "2", "bend": typed}).Bow
		same(t, typed, bow.Aim.Bend, want)
	}
	s := newBow(p)
	fill(t, s, map[string]string{"more": "2"})
	s.goTo(s.index("bend"))
	want := Reply{Refused, "it could be 4 as Hickory for Tamsin, 5 as Holly, 6 as Holly (H3)"}
	same(t, "as h", s.Answer("as h"), want)
}

// An aim that is not among the choices stays until another is chosen; no bow is offered its own shape.
func TestAnAimOfElsewhereStays(t *testing.T) {
	bow := ash()
	bow.Aim.Bend = "as Oak"
	story := storyOf(t, bow)
	s := editBow(story, practice{Finished: []model.Bow{story.Bow()}})
	same(t, "the aim", filled(t, s, map[string]string{"number": "3"}).Bow.Aim.Bend, "as Oak")
	choices := s.Questions[s.index("bend")].Choices
	if !slices.Equal(choices, []string{"full compass", "ellipse", "stiffer at the handle", "as Oak"}) {
		t.Errorf("the choices are %q", choices)
	}
	same(t, "the aim", filled(t, s, map[string]string{"bend": "ellipse"}).Bow.Aim.Bend, aim.EllipseName)
}
