package form

import (
	"fmt"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/aim"
)

// The aim is chosen by its name or the start of it; a finished bow's shape by that bow's.
func TestTheAimIsChosenByName(t *testing.T) {
	hickory, holly := ash(), ash()
	hickory.ID, hickory.Name, holly.ID, holly.Name = "H1", "Hickory for Tamsin", "H2", "Holly"
	for typed, want := range map[string]string{
		"": aim.CompassName, "f": aim.CompassName, "2": aim.EllipseName, "Stiffer": aim.StiffHandleName, "as hi": aim.Like("H1"), "as Holly": aim.Like("H2"), "5": aim.Like("H2"),
	} {
		if bow := described(t, NewBow(Practice{Finished: []model.Bow{hickory, holly}}), map[string]string{"name": "Ash", "upper": "34", "bend": typed}); bow.Aim.Bend != want {
			t.Errorf("%q is %q, want %q", typed, bow.Aim.Bend, want)
		}
	}
	s := NewBow(Practice{Finished: []model.Bow{hickory, holly}})
	answered(t, s, "Ash")
	skip(t, s, "upper")
	answered(t, s, "34")
	skip(t, s, "bend")
	if got := s.Answer("as h"); got.State != Refused || got.Says != "it could be 4 as Hickory for Tamsin, 5 as Holly" {
		t.Errorf("as h: %+v", got)
	}
	if got := s.Answer("flat"); got.State != Refused || !strings.HasPrefix(got.Says, "expected 1 full compass") {
		t.Errorf("flat: %+v", got)
	}
}

// An aim that is not among the choices stays as it is until another is chosen; a bow is never to be like itself.
func TestAnAimOfElsewhereStays(t *testing.T) {
	bow := ash()
	bow.Aim.Bend = "as Oak"
	story := storyOf(t, bow)
	itself := story.Bow()
	s := EditBow(story, Practice{Finished: []model.Bow{itself}})
	if got := edited(t, s, map[string]string{"number": "3"}); got.Aim.Bend != "as Oak" {
		t.Errorf("it became %q", got.Aim.Bend)
	}
	for _, q := range s.Questions {
		if q.Name == "bend" && strings.Trim(fmt.Sprintf("%q", q.Choices), "[]") != `"full compass" "ellipse" "stiffer at the handle" "as Oak"` {
			t.Errorf("the choices are %q", q.Choices)
		}
	}
	if got := edited(t, EditBow(story, Practice{}), map[string]string{"bend": "ellipse"}); got.Aim.Bend != aim.EllipseName {
		t.Errorf("it became %q", got.Aim.Bend)
	}
}

// Two finished bows of one name are told apart.
func TestFinishedBowsOfOneNameAreToldApart(t *testing.T) {
	a, b := ash(), ash()
	a.ID, b.ID = "A", "B"
	choices := (description{was: model.Bow{}, Practice: Practice{Finished: []model.Bow{a, b}}}).bendChoices()
	if len(choices) != 5 || choices[3].says == choices[4].says || choices[4].recorded != aim.Like("B") {
		t.Errorf("%+v", choices)
	}
}
