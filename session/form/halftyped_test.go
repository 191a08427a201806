package form

import (
	"slices"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/shop"
)

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
			f, ok, err := CorrectForm(s, bench, line)
			if !ok {
				t.Fatal("no form")
			}
			return must(f, err)(t)
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
		again := opening.TakeUp(story, draft.Form)
		if again == nil || again.Sheet.Form != of.Form || !again.Resumed || typed(again) != "1 and something more" {
			t.Errorf("%s comes back as %+v", of.Form, draft)
		}
	}
	// What this version does not know, and what is corrected on no entry, is told of nowhere.
	for _, form := range []string{"lathe", "correct nothing"} {
		if err := s.SaveDraft(shop.DraftKey(story.Bow().ID, form),
			shop.Draft{Form: form, Begun: s.Now()}); err != nil {
			t.Fatal(err)
		}
	}
	if more, err := HalfTyped(s, story); err != nil || !slices.EqualFunc(more, drafts, func(a, b shop.Draft) bool { return a.Form == b.Form }) {
		t.Errorf("%+v (%v), want only what can be taken up", more, err)
	}
}
