package form

import (
	"reflect"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
)

// The block lies at any place that holds the whole of it, station or not; none past the nock is offered.
func TestABlockLiesAtAnyPlaceShortOfTheNock(t *testing.T) {
	bow := ash()
	bow.Limbs[model.Upper].Stations = []measure.Length{6, 12, 30, 34}
	bow.Limbs[model.Lower].Stations = []measure.Length{6, 12, 30, 33}
	story := storyOf(t, bow)
	s := Block(story)
	same(t, "offered are", s.Questions[1].Preset, "6, 12, 30")
	answered(t, s, "", "7, 9 1/2, 31", "0.1", "0.11", "0.12", "0.09")
	b := must(s.Finish())(t).Event.(model.Braced)
	want := model.Block{Length: 6, At: []measure.Length{7, 9.5, 31}, Gaps: model.Readings{
		{some(0.1), some(0.11), some(0.12)}, {some(0.09), {}, {}},
	}}
	if !reflect.DeepEqual(*b.Block, want) {
		t.Errorf("it is %+v", b.Block)
	}
	for _, q := range s.Questions {
		if q.Group == "lower limb" && strings.HasPrefix(q.Label, "31") {
			t.Error("at 31 in the block stands out past the lower limb's nock, and is asked for")
		}
	}
	s = Block(story)
	answered(t, s, "")
	far := Reply{Refused, "at 32 the block stands out past the nock: type 31 in at most"}
	same(t, "past the nock", s.Answer("8, 32"), far)
}

// A place that is taken out takes its gaps along; those of the others stay theirs.
func TestAPlaceOfTheBlockIsTakenOut(t *testing.T) {
	story := storyOf(t, ash())
	was := model.Braced{From: model.FromString, Block: &model.Block{
		Length: 6, At: []measure.Length{6, 8, 12},
		Gaps: model.Readings{{some(.11), some(.12), some(.13)}, {some(.1), {}, some(.09)}},
	}}
	s, _ := Correct(story, model.Entry{ID: "x", What: was})
	s.goTo(1)
	answered(t, s, "6, 12")
	want := model.Block{Length: 6, At: []measure.Length{6, 12},
		Gaps: model.Readings{{some(.11), some(.13)}, {some(.1), some(.09)}}}
	if o, err := s.Finish(); err != nil || !reflect.DeepEqual(*o.Event.(model.Braced).Block, want) {
		t.Errorf("it becomes %+v (%v), want %+v", o.Event, err, want)
	}
}
