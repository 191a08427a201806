package form

import (
	"reflect"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

// What is not touched comes out to the last digit, also what the rule and the sheet do not show.
func TestAnEntryThatIsCorrectedNowhereComesOutAsItWas(t *testing.T) {
	story := storyOf(t, ash())
	some := measure.Some[measure.Length]
	samples := []model.Event{
		model.Pull{Draw: 17.99, Peak: measure.Some[measure.Force](21.43), Held: measure.Some(3240 * time.Millisecond), From: model.FromString, Readings: model.Readings{{some(73 / 25.4), {}, some(1)}, {some(.25)}}},
		model.Braced{
			Height: some(6), From: model.FromString, Readings: model.Readings{{some(6.1)}, {some(5.9)}},
			Block: &model.Block{Length: 6, At: []measure.Length{8}, Gaps: model.Readings{{some(.11)}, {some(.1)}}},
		},
		model.Braced{From: model.FromString, Block: &model.Block{
			Length: 6, At: []measure.Length{6, 8, 12}, Gaps: model.Readings{{some(.11), {}, some(.0937)}, {some(.1), some(.1), {}}},
		}},
		model.Braced{From: model.FromLine, Height: some(6)},
		model.Braced{From: model.FromLine, Block: &model.Block{Length: 6, At: []measure.Length{8}, Gaps: model.Readings{{some(.11)}, {some(.1)}}}},
		model.Relaxed{Readings: model.Readings{{some(-.25), some(.0625)}, {}}},
		model.StringLength{Length: 69.8},
		model.Note{Text: "flat at 16"},
		model.Exercise{Pulls: 30},
		model.Scrape{Limb: model.Lower, From: 4, To: 12.5, Tool: "rasp", Strokes: measure.Some(12), Depth: some(.012)},
		model.Scrape{Limb: model.Lower, From: 4, To: 12.5, Tool: "rasp", DepthShare: measure.Some(.0817345)},
		model.Scrape{From: 4, To: 12.5, Strokes: measure.Some(12), Depth: some(.012), DepthShare: measure.Some(.995)},
	}
	everyFieldIsGiven(t, samples)
	for _, what := range samples {
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

// everyFieldIsGiven says which field of an event, or of what is in it, none of the samples has: one that was added since is to be asked, or kept.
func everyFieldIsGiven(t *testing.T, samples []model.Event) {
	t.Helper()
	given := make(map[string]bool)
	var look func(path string, v reflect.Value)
	look = func(path string, v reflect.Value) {
		for i := range v.NumField() {
			field, name := v.Field(i), path+"."+v.Type().Field(i).Name
			given[name] = given[name] || !field.IsZero()
			if field.Kind() == reflect.Pointer && !field.IsNil() {
				look(name, field.Elem())
			}
		}
	}
	for _, what := range samples {
		look(reflect.TypeOf(what).Name(), reflect.ValueOf(what))
	}
	for name, is := range given {
		if !is {
			t.Errorf("no sample of this test has %s", name)
		}
	}
}

// A plan's scraping tells a share of the depth: it stands on the form, and a depth that is measured after all takes its place.
func TestTheShareOfAScrapeIsCorrected(t *testing.T) {
	story := storyOf(t, ash())
	was := model.Scrape{Limb: model.Upper, From: 4, To: 12, Tool: "scraper", DepthShare: measure.Some(.08)}
	for _, c := range []struct {
		answers map[string]string
		want    func(*model.Scrape)
	}{
		{map[string]string{"tool": "rasp"}, func(e *model.Scrape) { e.Tool = "rasp" }},
		{map[string]string{"share": "5"}, func(e *model.Scrape) { e.DepthShare = measure.Some(.05) }},
		{map[string]string{"share": ""}, func(e *model.Scrape) { e.DepthShare = measure.Optional[float64]{} }},
		{map[string]string{"depth": "0.02"}, func(e *model.Scrape) {
			e.Depth, e.DepthShare = measure.Some(measure.Length(.02)), measure.Optional[float64]{}
		}},
	} {
		s, _ := Correct(story, model.Entry{ID: "e1", What: was})
		for i, q := range s.Questions {
			if text, ok := c.answers[q.Name]; ok {
				s.Go(i)
				if text == "" {
					s.Leave("")
				} else if v := s.Answer(text); v.State != Taken {
					t.Errorf("%s %q: %s", q.Name, text, v.Says)
				}
			}
		}
		want := was
		c.want(&want)
		if o, err := s.Finish(); err != nil || !reflect.DeepEqual(o.Event, model.Event(want)) {
			t.Errorf("%v: %+v (%v), want %+v", c.answers, o.Event, err, want)
		}
	}
	s, _ := Correct(story, model.Entry{ID: "e1", What: was})
	s.Go(len(s.Questions) - 1)
	if v := s.Answer("120"); v.State != Refused {
		t.Errorf("120 %% of the depth is taken: %+v", v)
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
