package form

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

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
	must(again, again.Leave("4"))(t)
	again = must(NewBowForm(s))(t)
	if typed(again) != "4" {
		t.Errorf("what was typed at the field is %q", typed(again))
	}
	must(again, again.Drop(""))(t)
	f := must(NewBowForm(s))(t)
	if f.Resumed {
		t.Error("what was thrown away came back")
	}
	must(f, f.Leave(""))(t)
	if must(NewBowForm(s))(t).Resumed {
		t.Error("an empty form was kept")
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

func TestValues(t *testing.T) {
	for text, want := range map[string][]string{
		"": nil, "6 3/8": {"6 3/8"}, "1, 1/2": {"1", "1/2"}, "-1/4 -2 1/2": {"-1/4", "-2 1/2"},
		"5/16 1/2 1 1/4":           {"5/16", "1/2", "1 1/4"},
		"5/16\n1/2\r\n1 1/4\n":     {"5/16", "1/2", "1 1/4"},
		"5/16\t1/2\t1 1/4":         {"5/16", "1/2", "1 1/4"},
		"6-3/8 6⅜ 6 ⅜":             {"6-3/8", "6⅜", "6 ⅜"},
		"162 mm 45mm 3 1/2 in 1/4": {"162 mm", "45mm", "3 1/2 in", "1/4"},
	} {
		if got := Values(text); !slices.Equal(got, want) {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
	}
}

// However they are set apart, values come out as they went in, and nothing else does.
func TestValuesLoseNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.SliceOfN(rapid.StringMatching(`[1-9][0-9]? [1-7]/8|[1-7]/16|[1-9][0-9]?\.[0-9]|[1-9]mm`), 1, 20).Draw(t, "values")
		between := rapid.SampledFrom([]string{"\n", "\r\n", "\t", "; ", ", ", "\n\n"}).Draw(t, "between")
		if got := Values(strings.Join(in, between)); !slices.Equal(got, in) {
			t.Fatalf("%q came out as %q", in, got)
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		letters := func(s string) string {
			return strings.Map(func(r rune) rune {
				if strings.ContainsRune(" \u0085\u00a0\t\r\n;\v\f,\u1680\u2028\u2029\u202f\u205f\u3000", r) || r >= 0x2000 && r <= 0x200a {
					return -1
				}
				return r
			}, s)
		}
		if got := strings.Join(Values(text), ""); letters(got) != letters(text) {
			t.Fatalf("%q came out as %q", text, got)
		}
	})
}
