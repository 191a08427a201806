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
	gap := model.Block{Length: 6, At: []measure.Length{8}, Gaps: model.Readings{{some(.11)}, {some(.1)}}}
	for _, what := range []model.Event{
		model.Pull{Draw: 17.99, Peak: force(21.43), Held: measure.Some(3240 * time.Millisecond),
			From: model.FromString, Readings: model.Readings{{some(73 / 25.4), {}, some(1)}, {some(.25)}}},
		model.Braced{Height: some(6), From: model.FromString, Block: &gap,
			Readings: model.Readings{{some(6.1)}, {some(5.9)}}},
		model.Braced{From: model.FromLine, Height: some(6), Readings: unread()},
		model.Braced{From: model.FromLine, Block: &gap},
		model.Braced{From: model.FromString, Block: &model.Block{
			Length: 6, At: []measure.Length{6, 8, 12},
			Gaps: model.Readings{{some(.11), {}, some(.0937)}, {some(.1), some(.1), {}}},
		}},
		model.Relaxed{Readings: model.Readings{{some(-.25), some(.0625)}, {}}},
		model.StringLength{Length: 69.8}, model.Note{Text: "flat at 16"}, model.Exercise{Pulls: 30},
		model.Scrape{Limb: model.Lower, From: 4, To: 12.5, Tool: "rasp", Depth: some(.012)},
		model.Scrape{From: 4, To: 12.5, Strokes: measure.Some(12), Depth: some(.012), DepthShare: measure.Some(.0817345)},
	} {
		s, ok := Correct(story, model.Entry{ID: "e1", What: what})
		if !ok {
			t.Fatalf("%T has no sheet", what)
		}
		if o, err := s.Finish(); err != nil || !reflect.DeepEqual(o.Event, what) {
			t.Errorf("%T: %+v becomes %+v (%v)", what, what, o.Event, err)
		}
	}
	if _, ok := Correct(story, model.Entry{What: model.Void{Entry: "x"}}); ok {
		t.Error("a void has a sheet")
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
		for name, text := range c.answers {
			s.goTo(s.index(name))
			s.leave(text)
		}
		want := was
		c.want(&want)
		if o, err := s.Finish(); err != nil || !reflect.DeepEqual(o.Event, model.Event(want)) {
			t.Errorf("%v: %+v (%v), want %+v", c.answers, o.Event, err, want)
		}
	}
	s, _ := Correct(story, model.Entry{ID: "e1", What: was})
	s.goTo(len(s.Questions) - 1)
	if v := s.Answer("120"); v.State != Refused {
		t.Errorf("120 %% of the depth is taken: %+v", v)
	}
}
