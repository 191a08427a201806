package sheet

import (
	"reflect"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
)

// What is not touched comes out to the last digit, also what the rule and the sheet do not show.
func TestAnEntryThatIsCorrectedNowhereComesOutAsItWas(t *testing.T) {
	story := storyOf(t, ash())
	some := measure.Some[measure.Length]
	for _, what := range []model.Event{
		model.Pull{Draw: 17.99, Peak: measure.Some[measure.Force](21.43), From: model.FromString, Readings: model.Readings{{some(73 / 25.4), {}, some(1)}, {some(.25)}}},
		model.Braced{
			Height: some(6), From: model.FromString, Readings: model.Readings{{some(6.1)}, {some(5.9)}},
			Block: &model.Block{Length: 6, At: []measure.Length{8}, Gaps: model.Readings{{some(.11)}, {some(.1)}}},
		},
		model.Braced{From: model.FromString, Block: &model.Block{
			Length: 6, At: []measure.Length{6, 8, 12}, Gaps: model.Readings{{some(.11), {}, some(.0937)}, {some(.1), some(.1), {}}},
		}},
		model.Relaxed{Readings: model.Readings{{some(-.25), some(.0625)}, {}}},
		model.StringLength{Length: 69.8},
		model.Note{Text: "flat at 16"},
		model.Exercise{Pulls: 30},
		model.Scrape{Limb: model.Lower, From: 4, To: 12.5, Tool: "rasp", Strokes: measure.Some(12), Depth: some(.012)},
	} {
		s, ok := Correct(story, model.Entry{ID: "e1", What: what})
		if !ok {
			t.Errorf("%T has no sheet", what)
			continue
		}
		outcome, err := s.Finish()
		if err != nil || !reflect.DeepEqual(normal(outcome.Event), normal(what)) {
			t.Errorf("%T: %+v becomes %+v (%v)", what, what, outcome.Event, err)
		}
	}
	if _, ok := Correct(story, model.Entry{What: model.Void{Entry: "x"}}); ok {
		t.Error("a void has a sheet")
	}
}

// normal makes rows without readings alike.
func normal(what model.Event) model.Event {
	trim := func(r *model.Readings) {
		for side := range r {
			if len(r[side]) == 0 {
				r[side] = nil
			}
		}
	}
	switch e := what.(type) {
	case model.Pull:
		trim(&e.Readings)
		return e
	case model.Braced:
		trim(&e.Readings)
		return e
	case model.Relaxed:
		trim(&e.Readings)
		return e
	}
	return what
}
