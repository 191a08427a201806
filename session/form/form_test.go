package form

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/estimate"
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
	if q, _ := again.Sheet.Current(); !again.Resumed || q.Name != "length" {
		t.Fatalf("taken up: %v, at %q", again.Resumed, q.Name)
	}
	must(again, again.Leave("4"))(t)
	again = must(NewBowForm(s))(t)
	same(t, "what was typed at the field", typed(again), "4")
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
	f.Sheet.goTo(f.Sheet.index("length"))
	book.Fail = errors.New("the disk is full")
	if _, kept, err := f.SaveNow("72"); kept != nil || !errors.Is(err, ErrNotSaved) || !errors.Is(err, book.Fail) {
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

// However they are set apart, values come out as they went in.
func TestValuesLoseNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.SliceOfN(rapid.StringMatching(`[1-9][0-9]? [1-7]/8|[1-7]/16|[1-9][0-9]?\.[0-9]|[1-9]mm`), 1, 20).Draw(t, "values")
		between := rapid.SampledFrom([]string{"\n", "\r\n", "\t", "; ", ", ", "\n\n"}).Draw(t, "between")
		if got := Values(strings.Join(in, between)); !slices.Equal(got, in) {
			t.Fatalf("%q came out as %q", in, got)
		}
	})
}

// The stations that tell most come first, each under its own limb; the others follow as always. A pasted list
// is as it was written: from the handle out, upper limb first.
func TestStationsThatAreAskedForComeFirst(t *testing.T) {
	s, _ := newShop()
	bench := benchOf(t, s, ash())
	pull := func(asked ...estimate.Where) *Form {
		sh := Pull(bench.Story())
		sh.First(asked)
		return must(EntryForm(s, bench, sh))(t)
	}
	order := func(f *Form) string {
		var names []string
		for _, q := range f.Sheet.Questions[f.Sheet.index("peak")+1:] {
			names = append(names, q.named())
		}
		return strings.Join(names, "; ")
	}
	usual := order(pull())
	asked := []estimate.Where{{Side: model.Lower, At: 12}, {Side: model.Upper, At: 8}}
	f := pull(asked...)
	if got, want := order(f), "lower limb, 12 in; upper limb, 8 in; upper limb, 6 in; upper limb, 12 in; "+
		"lower limb, 6 in; lower limb, 8 in"; got != want {
		t.Errorf("the stations are\n%s\nwant\n%s", got, want)
	}
	fillIn(t, f, "long", "18", "20", "1 3/8", "1/2")
	if v, kept, err := f.SaveNow(""); kept == nil || err != nil {
		t.Fatal(v, err)
	}
	read := func() model.Readings { pull, _ := bench.Story().LastPull(); return pull.Readings }
	if r := read(); r.At(model.Lower, 2).Or(0) != 1.375 || r.At(model.Upper, 1).Or(0) != 0.5 || len(r[0]) != 2 {
		t.Errorf("read are %v", r)
	}
	f = pull(asked...)
	fillIn(t, f, "16", "18")
	if _, _, kept, err := f.Fill(strings.Fields("1/4 3/8 1 5/16 7/16 1.25")); kept == nil || err != nil || order(f) != usual {
		t.Fatal(err, order(f))
	}
	if r := read(); r.At(model.Upper, 0).Or(0) != 0.25 || r.At(model.Upper, 2).Or(0) != 1 || r.At(model.Lower, 2).Or(0) != 1.25 {
		t.Errorf("the pasted list is read as %v", r)
	}
}
