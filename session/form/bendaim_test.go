package form

import (
	"slices"
	"testing"

	"bendbook/model"
	"bendbook/model/aim"
)

// The aim is chosen by its name or the start of it; a finished bow's shape by that bow's.
func TestTheAimIsChosenByName(t *testing.T) {
	hickory, holly := ash(), ash()
	hickory.ID, hickory.Name, holly.ID, holly.Name = "H1", "Hickory for Tamsin", "H2", "Holly"
	p := practice{Finished: []model.Bow{hickory, holly}}
	for typed, want := range map[string]string{
		"": aim.CompassName, "f": aim.CompassName, "2": aim.EllipseName, "Stiffer": aim.StiffHandleName,
		"as hi": aim.Like("H1"), "as Holly": aim.Like("H2"), "5": aim.Like("H2"),
	} {
		bow := filled(t, newBow(p), map[string]string{"name": "Ash", "upper": "34", "bend": typed}).Bow
		if bow.Aim.Bend != want {
			t.Errorf("%q is %q, want %q", typed, bow.Aim.Bend, want)
		}
	}
	s := newBow(p)
	s.goTo(s.index("bend"))
	want := Verdict{Refused, "it could be 4 as Hickory for Tamsin, 5 as Holly"}
	if got := s.Answer("as h"); got != want {
		t.Errorf("as h: %+v", got)
	}
}

// An aim that is not among the choices stays as it is until another is chosen; a bow is never to be like itself.
func TestAnAimOfElsewhereStays(t *testing.T) {
	bow := ash()
	bow.Aim.Bend = "as Oak"
	story := storyOf(t, bow)
	s := editBow(story, practice{Finished: []model.Bow{story.Bow()}})
	if got := filled(t, s, map[string]string{"number": "3"}).Bow; got.Aim.Bend != "as Oak" {
		t.Errorf("it became %q", got.Aim.Bend)
	}
	choices := s.Questions[s.index("bend")].Choices
	if !slices.Equal(choices, []string{"full compass", "ellipse", "stiffer at the handle", "as Oak"}) {
		t.Errorf("the choices are %q", choices)
	}
	if got := filled(t, s, map[string]string{"bend": "ellipse"}).Bow; got.Aim.Bend != aim.EllipseName {
		t.Errorf("it became %q", got.Aim.Bend)
	}
}

func TestFinishedBowsOfOneNameAreToldApart(t *testing.T) {
	a, b := ash(), ash()
	a.ID, b.ID = "A", "B"
	says, recorded := description{practice: practice{Finished: []model.Bow{a, b}}}.bends()
	if len(says) != 5 || says[3] == says[4] || recorded[4] != aim.Like("B") {
		t.Errorf("%q, %q", says, recorded)
	}
}
