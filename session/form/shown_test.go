package form

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"testing"

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

// benchIn is the bench of a bow that is kept in some units, in a shop in which every bow is shown in others.
func benchIn(t rapid.TB, shown, kept measure.Units) (*shop.Shop, *shop.Bench) {
	t.Helper()
	s, _ := newShop()
	showIn(t, s, shown)
	bow := ash()
	bow.Units = kept
	return s, benchOf(t, s, bow)
}

func showIn(t rapid.TB, s *shop.Shop, shown measure.Units) {
	t.Helper()
	settings := finish.Usual()
	settings.Units, settings.Every = shown, finish.Every{Length: true, Force: true}
	must(settings, s.KeepSettings(settings))(t)
}

func exported(t testing.TB, s *shop.Shop, bench *shop.Bench) string {
	t.Helper()
	return booktest.Written(t, bench.Story().Record())
}

// enter types answers into a form and saves it; the rest is left out, or as it was filled in.
func enter(t rapid.TB, f *Form, answers ...string) {
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
	if f.done {
		return
	}
	v, kept, err := f.SaveNow(typed(f))
	for v.State == Asked {
		v, kept, err = f.Enter(typed(f))
	}
	if kept == nil || err != nil {
		t.Fatalf("not saved: %+v %v", v, err)
	}
}

// A pull typed in centimetres and kilograms on a record in inches and pounds is written in these.
func TestAPullTypedInOtherUnitsIsKeptInThoseOfTheRecord(t *testing.T) {
	s, bench := benchIn(t, metric, imperial)
	f := must(EntryForm(s, bench, Pull(bench.Story())))(t)
	answered(t, f.Sheet, "")
	q, _ := f.Sheet.Current()
	if q.Unit != "cm" || !strings.Contains(q.Hint, "such as 22") {
		t.Errorf("the draw is asked for in %q: %s", q.Unit, q.Hint)
	}
	enter(t, f, "50.8", "12.5", "1.27", "2")
	got := exported(t, s, bench)
	for _, want := range []string{
		`"units": {"length":"in","force":"lbf"}`, `"draw":20,"peak":27.557782773`, `"upper":[0.5,0.787401574803`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("the record lacks %s:\n%s", want, got)
		}
	}
	story := bench.Story()
	if said := session.Say(story.Bow(), story.Lines[0].Entry.What); !strings.Contains(said, "50.8 cm: 12.5 kg") {
		t.Errorf("it is told as %q", said)
	}
}

// What is typed in any unit, saved and taken up again in it, stands there as it was typed; and saved once
// more unchanged it is the same entry.
func TestWhatWasTypedComesBackInAnyUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		units := rapid.Custom(drawUnits)
		shown, kept := units.Draw(t, "shown"), units.Draw(t, "kept")
		s, bench := benchIn(t, shown, kept)
		number := func(name string, least, most float64) string {
			v := rapid.IntRange(int(least*100)+1, int(most*100)).Draw(t, name)
			return strconv.FormatFloat(float64(v)/100, 'f', 2, 64)
		}
		inch := shown.Length.PerInch()
		typed := []string{number("string", 72*inch, 80*inch),
			number("draw", 8*inch, 38*inch), number("peak", 0, 60*shown.Force.PerPound()), number("near", 0, 3*inch),
		}
		enter(t, must(EntryForm(s, bench, Pull(bench.Story())))(t), typed...)
		before := bench.Story().Lines[0]
		again, _, err := CorrectForm(s, bench, before)
		must(again, err)(t)
		for i, want := range typed {
			text, _ := again.Sheet.Given(i)
			text = strings.TrimPrefix(text, "long ")
			got := must(measure.ParseLength(text, measure.Inch))(t)
			if got != must(measure.ParseLength(want, measure.Inch))(t) {
				t.Fatalf("kept in %v, shown in %v: %q was typed, %q stands there", kept, shown, want, text)
			}
		}
		outcome := finished(t, again.Sheet) // what was asked about is asked about once more
		entry := model.Entry{ID: before.Entry.ID, At: before.Entry.At, What: outcome.Event}
		if same := must(record.NewItem(entry, kept))(t); !bytes.Equal(same.Doc, before.Doc) {
			t.Fatalf("kept in %v, shown in %v: confirmed it is\n%s\nwant\n%s", kept, shown, same.Doc, before.Doc)
		}
	})
}

// A description that is confirmed in other units changes nothing, and one field that is changed changes that
// alone. What is offered is taken whole by Enter alone.
func TestADescriptionShownInOtherUnitsStays(t *testing.T) {
	all := []measure.Units{imperial, metric, newtons}
	for _, shown := range all {
		for _, kept := range all {
			s, bench := benchIn(t, shown, kept)
			before := exported(t, s, bench)
			enter(t, must(EditForm(s, bench))(t))
			same(t, fmt.Sprintf("kept in %v, confirmed in %v", kept, shown), exported(t, s, bench), before)
			f := must(EditForm(s, bench))(t)
			f.Sheet.goTo(f.Sheet.index("wood"))
			enter(t, f, "yew")
			if got := string(bench.Story().Lines[0].Entry.What.(model.Edit).Set); got != `{"wood":"yew"}` {
				t.Errorf("kept in %v, shown in %v: a change of the wood sets %s", kept, shown, got)
			}
			enter(t, must(EntryForm(s, bench, Weigh(bench.Story())))(t), "", "100N")
			if draw := bench.Story().Lines[1].Entry.What.(model.Pull).Draw; kept == imperial && draw != 28 {
				t.Errorf("shown in %v, Enter alone draws %v in, want the ordered 28", shown, float64(draw))
			}
		}
	}
}

// What was half typed in one unit is not read in another.
func TestADraftKeepsTheUnitsThatItWasTypedIn(t *testing.T) {
	s, bench := benchIn(t, imperial, imperial)
	fillIn(t, must(EntryForm(s, bench, Block(bench.Story())))(t), "6", "4 6 1/2", "0.1")
	showIn(t, s, metric)
	bench = must(s.Bench(bench.Story().Bow().ID))(t)
	f := must(EntryForm(s, bench, Block(bench.Story())))(t)
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

// A value in another unit than the field's, or typed in short, is told in full before it is confirmed.
func TestAValueThatIsNotTypedInFullIsTold(t *testing.T) {
	for _, c := range []struct {
		shown      measure.Units
		field      int
		text, want string
	}{
		{imperial, 0, "162mm", "162mm is 6 3/8 in"}, {imperial, 0, "6 3/8in", ""}, {imperial, 0, "6 3/8", ""},
		{imperial, 0, "cm", ""}, {imperial, 1, "18kg", "18kg is 39.7 lb"}, {imperial, 1, "40#", ""},
		{metric, 0, "20in", "20in is 50.8 cm"}, {metric, 0, "508mm", "508mm is 50.8 cm"},
		{metric, 1, "160N", "160N is 16.3 kg"}, {metric, 1, "18", ""},
		{imperial, 0, "18 11", "18 11 is 18 11/16 in"}, {imperial, 2, "11/", "11/ is 11/16 in"},
		{imperial, 2, "1 16", ""}, {imperial, 0, "=", ""}, {metric, 0, "18 1", ""}, {imperial, 1, "18 1", ""},
	} {
		s, bench := benchIn(t, c.shown, imperial)
		f := must(EntryForm(s, bench, Pull(bench.Story())))(t)
		f.Sheet.goTo(1 + c.field)
		same(t, c.text, f.Sheet.Heard(c.text), c.want)
	}
}

// A form that corrects a temperature shows what was typed, not its degrees in another unit.
func TestATemperatureIsShownAsItWasTyped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]string{"C", "F"}).Draw(t, "unit")
		typed := strconv.Itoa(rapid.IntRange(-4, 60).Draw(t, "degrees"))
		n := warmths(unit)
		celsius, err := n.read(ash(), typed)
		if shown := n.say(ash(), celsius); err != nil || shown != typed {
			t.Fatalf("%s %s is shown as %q (%v)", typed, unit, shown, err)
		}
	})
}
