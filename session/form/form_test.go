package form

import (
	"errors"
	"testing"

	"bendbook/session"
)

// fillIn answers questions in turn.
func fillIn(t *testing.T, f *Form, answers ...string) {
	t.Helper()
	for _, text := range answers {
		if v, _, err := f.Enter(text); v.State != Taken || err != nil {
			t.Fatalf("%q: %+v, %v", text, v, err)
		}
	}
}

func TestWhatWasAnsweredOutlivesTheForm(t *testing.T) {
	s, _ := newShop()
	fillIn(t, must(NewBowForm(s))(t), "Ash", "", "ash")
	again := must(NewBowForm(s))(t)
	if q, _ := again.Sheet.Current(); !again.Resumed || q.Name != "number" {
		t.Fatalf("taken up: %v, at %q", again.Resumed, q.Name)
	}
	if half, err := again.Leave("4"); !half || err != nil {
		t.Fatal(half, err)
	}
	again = must(NewBowForm(s))(t)
	if typed(again) != "4" {
		t.Errorf("what was typed at the field is %q", typed(again))
	}
	must(again, again.Drop())(t)
	f := must(NewBowForm(s))(t)
	if f.Resumed {
		t.Error("what was thrown away came back")
	}
	if half, err := f.Leave(""); half || err != nil {
		t.Fatal("an empty form was kept", err)
	}
	if ended, err := f.Abandon(""); !ended || err != nil || must(NewBowForm(s))(t).Resumed {
		t.Fatal("an empty form was kept", err)
	}
}

func TestAFormThatCannotBeSavedCanBeSavedAgain(t *testing.T) {
	s, book := newShop()
	f := must(NewBowForm(s))(t)
	fillIn(t, f, "Ash")
	f.Sheet.goTo(f.Sheet.index("upper"))
	book.Fail = errors.New("the disk is full")
	if _, kept, err := f.SaveNow("34"); kept != nil || !errors.Is(err, ErrNotSaved) || !errors.Is(err, book.Fail) {
		t.Fatal(kept, err)
	}
	book.Fail = nil
	_, kept, err := f.SaveNow("")
	if err != nil || kept == nil || !f.done {
		t.Fatal(kept, err)
	}
	if story, err := s.Story(kept.ID); err != nil || session.NameOf(story.Bow()) != "Ash" {
		t.Error(story.Bow(), err)
	}
	if must(NewBowForm(s))(t).Resumed {
		t.Error("the draft of a bow that is in the book is still there")
	}
}
