package form

import (
	"errors"
	"testing"
	"time"

	"bendbook/session"
	"bendbook/session/booktest"
	"bendbook/session/shop"
)

// newShop is a shop on an empty book.
func newShop(t *testing.T) (*shop.Shop, *booktest.Memory) {
	t.Helper()
	book := booktest.New()
	return shop.Open(book, shop.Options{Now: func() time.Time { return time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC) }}), book
}

// fillIn answers questions in turn.
func fillIn(t *testing.T, f *Form, answers ...string) {
	t.Helper()
	for _, text := range answers {
		if v, _, err := f.Enter(text); v.State != Taken || err != nil {
			t.Fatalf("%q: %+v, %v", text, v, err)
		}
	}
}

func newBowForm(t *testing.T, s *shop.Shop) *Form {
	t.Helper()
	f, err := NewBowForm(s)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestWhatWasAnsweredOutlivesTheForm(t *testing.T) {
	s, _ := newShop(t)
	fillIn(t, newBowForm(t, s), "Ash", "", "ash")
	again := newBowForm(t, s)
	if q, _ := again.Sheet.Current(); !again.Resumed || q.Name != "number" {
		t.Fatalf("taken up: %v, at %q", again.Resumed, q.Name)
	}
	if half, err := again.Leave("4"); !half || err != nil {
		t.Fatal(half, err)
	}
	again = newBowForm(t, s)
	if again.Current() != "4" {
		t.Errorf("what was typed at the field is %q", again.Current())
	}
	if err := again.Drop(); err != nil {
		t.Fatal(err)
	}
	if newBowForm(t, s).Resumed {
		t.Error("what was thrown away came back")
	}
}

func TestNothingTypedLeavesNoDraft(t *testing.T) {
	s, _ := newShop(t)
	f := newBowForm(t, s)
	if half, err := f.Leave(""); half || err != nil {
		t.Fatal(half, err)
	}
	if ended, err := f.Abandon(""); !ended || err != nil {
		t.Fatal(ended, err)
	}
	if newBowForm(t, s).Resumed {
		t.Error("an empty form was kept")
	}
}

func TestAFormThatCannotBeSavedCanBeSavedAgain(t *testing.T) {
	s, book := newShop(t)
	f := newBowForm(t, s)
	fillIn(t, f, "Ash")
	for _, q := range f.Sheet.Questions {
		if q.Name == "upper" {
			break
		}
		if current, _ := f.Sheet.Current(); current.Name != "upper" {
			fillIn(t, f, "")
		}
	}
	book.Fail = errors.New("the disk is full")
	if _, kept, err := f.SaveNow("34"); kept != nil || !errors.Is(err, ErrNotSaved) || !errors.Is(err, book.Fail) {
		t.Fatal(kept, err)
	}
	book.Fail = nil
	_, kept, err := f.SaveNow("")
	if err != nil || kept == nil || !f.Done() {
		t.Fatal(kept, err)
	}
	if story, err := s.Story(kept.ID); err != nil || session.NameOf(story.Bow()) != "Ash" {
		t.Error(story.Bow(), err)
	}
	if newBowForm(t, s).Resumed {
		t.Error("the draft of a bow that is in the book is still there")
	}
}
