package form

import (
	"bytes"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/booktest"
	"bendbook/session/shop"
)

var (
	metric   = measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}
	newtons  = measure.Units{Length: measure.Millimetre, Force: measure.Newton}
	imperial = measure.Imperial()
)

// shopIn is a shop in which every bow is shown in the given units, and a bow in it that is kept in others.
func shopIn(t testing.TB, shown, kept measure.Units) (s *shop.Shop, id string) {
	t.Helper()
	now := time.Date(2027, 1, 11, 9, 0, 0, 0, time.UTC)
	s = shop.Open(booktest.New(), shop.Options{Now: func() time.Time { now = now.Add(time.Minute); return now }})
	showIn(t, s, shown)
	bow := ash()
	bow.Units = kept
	id, err := s.NewBow(bow, "")
	if err != nil {
		t.Fatal(err)
	}
	return s, id
}

func showIn(t testing.TB, s *shop.Shop, shown measure.Units) {
	t.Helper()
	settings := finish.Usual()
	settings.Units, settings.Every = shown, finish.Every{Length: true, Force: true}
	if err := s.KeepSettings(settings); err != nil {
		t.Fatal(err)
	}
}

func benchOf(t testing.TB, s *shop.Shop, id string) *shop.Bench {
	t.Helper()
	bench, err := s.Bench(id)
	if err != nil {
		t.Fatal(err)
	}
	return bench
}

func exported(t testing.TB, s *shop.Shop, id string) string {
	t.Helper()
	rec, err := s.Export(id)
	if err != nil {
		t.Fatal(err)
	}
	return booktest.Written(t, rec)
}

// enter types answers into a form and saves it; the rest is left out, or as it was filled in.
func enter(t testing.TB, f *Form, answers ...string) {
	t.Helper()
	for _, text := range answers {
		for asked := 0; ; asked++ {
			v, _, err := f.Enter(text)
			if err != nil || v.State == Refused || asked > 1 {
				t.Fatalf("%q: %+v %v", text, v, err)
			}
			if v.State == Taken {
				break
			}
		}
	}
	if f.Done() {
		return
	}
	if v, kept, err := f.SaveNow(f.Current()); kept == nil || err != nil {
		t.Fatalf("not saved: %+v %v", v, err)
	}
}

// A pull typed in centimetres and kilograms on a record in inches and pounds is written in these.
func TestAPullTypedInOtherUnitsIsKeptInThoseOfTheRecord(t *testing.T) {
	s, id := shopIn(t, metric, imperial)
	bench := benchOf(t, s, id)
	f, err := EntryForm(s, bench, Pull(bench.Story()))
	if err != nil {
		t.Fatal(err)
	}
	q, _ := f.Sheet.Current()
	if q.Unit != "cm" || !strings.Contains(q.Hint, "such as 47") {
		t.Errorf("the draw is asked for in %q: %s", q.Unit, q.Hint)
	}
	enter(t, f, "50.8", "12.5", "1.27", "2")
	got := exported(t, s, id)
	for _, want := range []string{`"units": {"length":"in","force":"lbf"}`, `"draw":20,"peak":27.557782773`, `"upper":[0.5,0.787401574803`} {
		if !strings.Contains(got, want) {
			t.Errorf("the record lacks %s:\n%s", want, got)
		}
	}
	story, err := s.Story(id)
	if err != nil {
		t.Fatal(err)
	}
	if said, want := session.Say(story.Bow(), story.Lines[0].Entry.What), "50.8 cm: 12.5 kg"; !strings.Contains(said, want) {
		t.Errorf("it is told as %q, want %q in it", said, want)
	}
}

// What is typed in any unit, saved and taken up again in the same unit, stands there as it was typed; and saved once more unchanged it is the same entry.
func TestWhatWasTypedComesBackInAnyUnit(t *testing.T) {
	all := []measure.Units{imperial, metric, newtons}
	rapid.Check(t, func(r *rapid.T) {
		shown, kept := rapid.SampledFrom(all).Draw(r, "shown"), rapid.SampledFrom(all).Draw(r, "kept")
		number := func(name string, most float64, places int) string {
			v := rapid.IntRange(1, int(most*100)).Draw(r, name)
			return strconv.FormatFloat(float64(v)/100, 'f', places, 64)
		}
		s, id := shopIn(t, shown, kept)
		bench := benchOf(t, s, id)
		draw, peak := number("draw", shown.Length.PerInch()*30, 2), number("peak", shown.Force.PerPound()*60, 2)
		if v, _ := strconv.ParseFloat(draw, 64); v < 8*shown.Length.PerInch() {
			draw = strconv.FormatFloat(v+8*shown.Length.PerInch(), 'f', 1, 64)
		}
		near := number("near", shown.Length.PerInch()*3, 2)
		f, err := EntryForm(s, bench, Pull(bench.Story()))
		if err != nil {
			t.Fatal(err)
		}
		enter(t, f, draw, peak, near)
		bench = benchOf(t, s, id)
		before := bench.Story().Lines[0]
		again, ok, err := CorrectForm(s, bench, before)
		if err != nil || !ok {
			t.Fatalf("no correction: %v", err)
		}
		for i, want := range []string{draw, peak, near} {
			text, _ := again.Sheet.Given(i)
			got, gotErr := measure.ParseLength(text, measure.Inch)
			typed, err := measure.ParseLength(want, measure.Inch)
			if gotErr != nil || err != nil || got != typed {
				t.Fatalf("kept in %v, shown in %v: %q was typed, %q stands there", kept, shown, want, text)
			}
		}
		var outcome Outcome
		for range again.Sheet.Questions { // what was asked about is asked about once more
			if outcome, err = again.Sheet.Finish(); err == nil {
				break
			}
		}
		if err != nil {
			t.Fatal(err)
		}
		same, err := record.NewItem(model.Entry{ID: before.Entry.ID, At: before.Entry.At, What: outcome.Event}, kept)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(same.Doc, before.Doc) {
			t.Fatalf("kept in %v, shown in %v: confirmed it is\n%s\nwant\n%s", kept, shown, same.Doc, before.Doc)
		}
	})
}

// A description that is confirmed in other units changes nothing, and one field that is changed changes that alone.
func TestADescriptionShownInOtherUnitsStays(t *testing.T) {
	for _, shown := range []measure.Units{imperial, metric, newtons} {
		for _, kept := range []measure.Units{imperial, metric, newtons} {
			s, id := shopIn(t, shown, kept)
			before := exported(t, s, id)
			f, err := EditForm(s, benchOf(t, s, id))
			if err != nil {
				t.Fatal(err)
			}
			enter(t, f)
			if got := exported(t, s, id); got != before {
				t.Errorf("kept in %v, confirmed in %v the record is\n%s\nwant\n%s", kept, shown, got, before)
			}
			bench := benchOf(t, s, id)
			if f, err = EditForm(s, bench); err != nil {
				t.Fatal(err)
			}
			for q, _ := f.Sheet.Current(); q.Name != "wood"; q, _ = f.Sheet.Current() {
				f.Step(1, f.Current())
			}
			enter(t, f, "yew")
			story := benchOf(t, s, id).Story()
			if got := string(story.Lines[0].Entry.What.(model.Edit).Set); got != `{"wood":"yew"}` {
				t.Errorf("kept in %v, shown in %v: a change of the wood sets %s", kept, shown, got)
			}
		}
	}
}

// What was half typed in one unit is not read in another.
func TestADraftKeepsTheUnitsThatItWasTypedIn(t *testing.T) {
	s, id := shopIn(t, imperial, imperial)
	bench := benchOf(t, s, id)
	f, err := EntryForm(s, bench, Block(bench.Story()))
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"6", "4 6 1/2", "0.1"} {
		if v, _, err := f.Enter(text); err != nil || v.State != Taken {
			t.Fatalf("%q: %+v %v", text, v, err)
		}
	}
	showIn(t, s, metric)
	bench = benchOf(t, s, id)
	if f, err = EntryForm(s, bench, Block(bench.Story())); err != nil || !f.Resumed {
		t.Fatalf("the draft is not taken up: %v", err)
	}
	for i, want := range []string{"6in", "4in, 6 1/2in", "0.1in"} {
		if got, _ := f.Sheet.Given(i); got != want {
			t.Errorf("answer %d is %q, want %q", i, got, want)
		}
	}
	enter(t, f)
	block := bench.Story().Lines[0].Entry.What.(model.Braced).Block
	if block.Length != 6 || block.At[1] != 6.5 || block.Gaps.At(model.Upper, 0).Or(0) != 0.1 {
		t.Errorf("the block is %+v", block)
	}
}

// What is offered is taken whole by Enter alone, in whatever unit it stands there.
func TestAPresetSaysAllOfItsValue(t *testing.T) {
	for _, shown := range []measure.Units{imperial, metric, newtons} {
		s, id := shopIn(t, shown, imperial)
		bench := benchOf(t, s, id)
		f, err := EntryForm(s, bench, Weigh(bench.Story()))
		if err != nil {
			t.Fatal(err)
		}
		enter(t, f, "", "100N")
		if draw := bench.Story().Lines[0].Entry.What.(model.Pull).Draw; draw != 28 {
			t.Errorf("shown in %v, Enter alone draws %v in, want the ordered 28", shown, float64(draw))
		}
	}
}

// A value in another unit than the field's is told in the field's, before it is confirmed.
func TestAValueInAnotherUnitIsTold(t *testing.T) {
	for _, c := range []struct {
		shown      measure.Units
		field      int
		text, want string
	}{
		{imperial, 0, "162mm", "162mm is 6 3/8 in"},
		{imperial, 0, "16.2 cm", "16.2 cm is 6 3/8 in"},
		{imperial, 0, "6 3/8in", ""},
		{imperial, 0, "6 3/8", ""},
		{imperial, 0, "cm", ""},
		{imperial, 1, "18kg", "18kg is 39.7 lb"},
		{imperial, 1, "40#", ""},
		{metric, 0, "20in", "20in is 50.8 cm"},
		{metric, 0, "508mm", "508mm is 50.8 cm"},
		{metric, 1, "40lb", "40lb is 18.1 kg"},
		{metric, 1, "160N", "160N is 16.3 kg"},
		{metric, 1, "18", ""},
	} {
		s, id := shopIn(t, c.shown, imperial)
		bench := benchOf(t, s, id)
		f, err := EntryForm(s, bench, Pull(bench.Story()))
		if err != nil {
			t.Fatal(err)
		}
		f.Sheet.Go(c.field)
		if got := f.Sheet.Heard(c.text); got != c.want {
			t.Errorf("%q in %v tells %q, want %q", c.text, c.shown, got, c.want)
		}
	}
}
