package form

import (
	"slices"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/booktest"
	"bendbook/session/shop"
)

// Whatever form of a bow was left half typed, it is told of in words, and opened again where it was begun.
func TestEveryHalfTypedFormIsTakenUpAgain(t *testing.T) {
	now := time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC)
	s := shop.Open(booktest.New(), shop.Options{Now: func() time.Time { now = now.Add(time.Minute); return now }})
	id, err := s.NewBow(ash(), "")
	if err != nil {
		t.Fatal(err)
	}
	bench, err := s.Bench(id)
	if err != nil {
		t.Fatal(err)
	}
	if err := bench.Add(model.Scrape{From: 4, To: 12, Tool: "rasp", DepthShare: measure.Some(.08)}, ""); err != nil {
		t.Fatal(err)
	}
	story := bench.Story()
	entry := func(sh *Sheet) *Form { return must(t)(EntryForm(s, bench, sh)) }
	opening := Opening[*Form]{
		Entry: entry,
		Edit:  func() *Form { return must(t)(EditForm(s, bench)) },
		Like:  func() *Form { return must(t)(LikeForm(s, story)) },
		Correct: func(line session.Line) *Form {
			f, ok, err := CorrectForm(s, bench, line)
			if !ok {
				t.Fatal("no form")
			}
			return must(t)(f, err)
		},
	}
	begun := []*Form{opening.Edit(), opening.Like(), opening.Correct(story.Lines[0]), entry(Aside())}
	for _, kind := range Kinds() {
		begun = append(begun, entry(kind.Of(story)))
	}
	for _, f := range begun {
		if half, err := f.Leave("1 and something more"); err != nil || !half {
			t.Fatalf("%s keeps no draft (%v)", f.Sheet.Form, err)
		}
	}
	drafts, err := HalfTyped(s, story)
	if err != nil || len(drafts) != len(begun) {
		t.Fatalf("%d of %d half-typed forms are told of (%v)", len(drafts), len(begun), err)
	}
	for i, draft := range drafts {
		of := begun[len(begun)-1-i].Sheet
		again, ok := opening.TakeUp(story, draft.Form)
		if !ok || again.Sheet.Form != of.Form || !again.Resumed || again.Current() != "1 and something more" {
			t.Errorf("%s comes back as %+v", of.Form, draft)
		}
	}
	// What this version does not know, and what is corrected on no entry, is told of nowhere.
	for _, form := range []string{"lathe", "correct nothing"} {
		if err := s.SaveDraft(shop.DraftKey(id, form), shop.Draft{Form: form, Begun: now}); err != nil {
			t.Fatal(err)
		}
	}
	if more, err := HalfTyped(s, story); err != nil || !slices.EqualFunc(more, drafts, func(a, b shop.Draft) bool { return a.Form == b.Form }) {
		t.Errorf("%+v (%v), want only what can be taken up", more, err)
	}
}

func must(t *testing.T) func(f *Form, err error) *Form {
	return func(f *Form, err error) *Form {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
}
