package form

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/shop"
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
		model.StringLength{Length: 69.8}, model.Note{Text: "flat at 16"}, model.Exercise{Pulls: 30, Draw: some(16), Minutes: measure.Some(45.0)},
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

// A plan's scraping tells a share of the depth: it stands on the form, and a depth that is measured after all
// takes its place.
func TestTheShareOfAScrapeIsCorrected(t *testing.T) {
	story := storyOf(t, ash())
	was := model.Scrape{Limb: model.Upper, From: 4, To: 12, Tool: "scraper", DepthShare: measure.Some(.08)}
	rasped, less, none, measured := was, was, was, was
	rasped.Tool, less.DepthShare, none.DepthShare = "rasp", measure.Some(.05), measure.Optional[float64]{}
	measured.Depth, measured.DepthShare = some(.02), none.DepthShare
	for _, c := range []struct {
		name, answer string
		want         model.Scrape
	}{
		{"tool", "rasp", rasped}, {"share", "5", less}, {"share", "", none}, {"depth", "0.02", measured},
	} {
		s, _ := Correct(story, model.Entry{ID: "e1", What: was})
		s.goTo(s.index(c.name))
		s.leave(c.answer)
		if o, err := s.Finish(); err != nil || o.Event != model.Event(c.want) {
			t.Errorf("%s %q: %+v (%v), want %+v", c.name, c.answer, o.Event, err, c.want)
		}
	}
	s, _ := Correct(story, model.Entry{ID: "e1", What: was})
	s.goTo(len(s.Questions) - 1)
	same(t, "120 % of the depth", s.Answer("120").State, Refused)
}

// Each field shows an example of what to type, or all that may be chosen. The line is explained where it is
// first asked for.
func TestEveryFieldShowsAnExample(t *testing.T) {
	story := storyOf(t, ash())
	sheets := []*Sheet{newBow(practice{}), editBow(story, practice{}), Void("e", "x")}
	for _, kind := range Kinds() {
		sheets = append(sheets, kind.Of(story))
	}
	for _, s := range sheets {
		for _, q := range slices.Concat(s.Questions, s.unasked) {
			hint := strings.ToLower(s.hinted(q).Hint)
			example := strings.Contains(hint, "such as") || strings.Contains(hint, "like ")
			for i := range q.Choices {
				example = example || i == 1 && strings.Contains(hint, "1 ") && strings.Contains(hint, "2 ")
			}
			if !example && q.Preset == "" && !strings.Contains(hint, "enter alone for ") {
				t.Errorf("%s, %s: %s", s.Title, q.Label, hint)
			}
		}
	}
	first := Pull(story).Questions
	if hint := first[slices.IndexFunc(first, func(q Question) bool { return q.limb() != "" })].Hint; !strings.Contains(hint,
		"through the handle's two ends") {
		t.Errorf("the first reading to the line: %s", hint)
	}
}

// A form that was left half typed is named in words and opens again where it was begun.
func TestEveryHalfTypedFormIsTakenUpAgain(t *testing.T) {
	s, _ := newShop()
	bench := benchOf(t, s, ash(), model.Scrape{From: 4, To: 12, Tool: "rasp", DepthShare: measure.Some(.08)})
	story := bench.Story()
	entry := func(sh *Sheet) *Form { return must(EntryForm(s, bench, sh))(t) }
	opening := Opening[*Form]{
		Entry: entry,
		Edit:  func() *Form { return must(EditForm(s, bench))(t) },
		Like:  func() *Form { return must(LikeForm(s, story))(t) },
		Correct: func(line session.Line) *Form {
			f, _, err := CorrectForm(s, bench, line)
			return must(f, err)(t)
		},
	}
	begun := []*Form{opening.Edit(), opening.Like(), opening.Correct(story.Lines[0])}
	for _, kind := range Kinds() {
		begun = append(begun, entry(kind.Of(story)))
	}
	for _, f := range begun {
		must(f, f.Leave("1 and something more"))(t)
	}
	drafts, err := HalfTyped(s, story)
	if err != nil || len(drafts) != len(begun) {
		t.Fatalf("%d of %d half-typed forms are told of (%v)", len(drafts), len(begun), err)
	}
	for i, draft := range drafts {
		of := begun[len(begun)-1-i].Sheet
		again := opening.TakeUp(story, draft.Form)
		if again == nil || again.Sheet.Form != of.Form || !again.Resumed || typed(again) != "1 and something more" {
			t.Errorf("%s comes back as %+v", of.Form, draft)
		}
	}
	// What this version does not know, and what is corrected on no entry, is told of nowhere.
	for _, form := range []string{"lathe", "correct nothing"} {
		draft := shop.Draft{Form: form, Begun: s.Now()}
		must(draft, s.SaveDraft(shop.DraftKey(story.Bow().ID, form), draft))(t)
	}
	same := func(a, b shop.Draft) bool { return a.Form == b.Form }
	if more, err := HalfTyped(s, story); err != nil || !slices.EqualFunc(more, drafts, same) {
		t.Errorf("%+v (%v), want only what can be taken up", more, err)
	}
}

// Enter alone takes what was planned. What is not measured is taken as the planned share, only where limb and
// place are those of the plan and nothing else is said of how much came off.
func TestScrapeByThePlan(t *testing.T) {
	cut := model.Scrape{Limb: model.Lower, From: 8, To: 12, Tool: "rasp", DepthShare: measure.Some(0.042)}
	for _, given := range []map[string]string{
		{"limb": "upper"}, {"from": "9"}, {"strokes": "9"}, {"depth": "0.02"},
	} {
		if got := filled(t, ScrapeCut(storyOf(t, ash()), cut), given).Event.(model.Scrape); got.DepthShare.Known() ||
			got.Strokes.Known() != (given["strokes"] != "") {
			t.Errorf("%v makes %+v", given, got)
		}
	}
	// Where strokes are told they are filled in, and so is a depth.
	byStrokes, byDepth := cut, cut
	byStrokes.Strokes, byStrokes.DepthShare = measure.Some(13), measure.Optional[float64]{}
	byDepth.Depth, byDepth.DepthShare = measure.Some(measure.Length(0.025)), measure.Optional[float64]{}
	// A stretch that ends at a nock between the rule's marks, 33 1/2 by the rule, can be entered as it is.
	bow, toNock := ash(), cut
	bow.Limbs[model.Lower].Length, toNock.To = 33.47, 33.47
	for _, want := range []model.Scrape{cut, byStrokes, byDepth, toNock} {
		same(t, "Enter alone makes", filled(t, ScrapeCut(storyOf(t, bow), want), nil).Event, model.Event(want))
	}
}
