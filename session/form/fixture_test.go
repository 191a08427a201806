package form

import (
	"errors"
	"reflect"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/booktest"
	"bendbook/session/shop"
)

// ash is a longbow that is read at 6, 8 and 12 in.
func ash() model.Bow {
	stations := []measure.Length{6, 8, 12}
	return model.Bow{
		Name: "Ash for Wren", Wood: "ash", Units: measure.Imperial(), Handle: 4,
		Limbs: [2]model.Limb{{Length: 34, Stations: stations}, {Length: 33, Stations: stations}},
		Order: model.Order{Draw: some(28), Weight: force(40), Allow: force(2)},
		Rule:  1.0 / 16, Scale: 0.1,
	}
}

// newShop is a shop on an empty book, in which a minute goes by at each look at the clock.
func newShop() (*shop.Shop, *booktest.Memory) {
	book, now := booktest.New(), time.Date(2027, 1, 11, 9, 0, 0, 0, time.UTC)
	return shop.Open(book, shop.Options{Now: func() time.Time { now = now.Add(time.Minute); return now }}), book
}

// benchOf is the bench of a new bow to which the events happened.
func benchOf(t rapid.TB, s *shop.Shop, bow model.Bow, events ...model.Event) *shop.Bench {
	t.Helper()
	bench := must(s.Bench(must(s.NewBow(bow, ""))(t)))(t)
	for _, event := range events {
		must(event, bench.Add(event, ""))(t)
	}
	return bench
}

func storyOf(t rapid.TB, bow model.Bow, events ...model.Event) session.Story {
	t.Helper()
	s, _ := newShop()
	return benchOf(t, s, bow, events...).Story()
}

func some(l measure.Length) maybeLength { return measure.Some(l) }

func force(f measure.Force) maybeForce { return measure.Some(f) }

func must[T any](v T, err error) func(rapid.TB) T {
	return func(t rapid.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// typed is what stands at the question that is being answered.
func typed(f *Form) string {
	if f.Sheet.Done() {
		return ""
	}
	text, _ := f.Sheet.Given(f.Sheet.At())
	return text
}

// answered answers the questions in order and fails where one is not taken.
func answered(t rapid.TB, s *Sheet, answers ...string) {
	t.Helper()
	for _, text := range answers {
		q, _ := s.Current()
		if got := s.Answer(text); got.State != Taken {
			t.Fatalf("%s: %q is not taken: %+v", q.Label, text, got)
		}
	}
}

// finished makes the outcome of a sheet, and keeps what is asked about on the way.
func finished(t rapid.TB, s *Sheet) outcome {
	t.Helper()
	for range s.Questions {
		var doubt DoubtError
		if o, err := s.Finish(); !errors.As(err, &doubt) {
			return must(o, err)(t)
		}
	}
	return must(s.Finish())(t)
}

// filled answers what is given by name, leaves all else as it stands, and makes the outcome.
func filled(t rapid.TB, s *Sheet, given map[string]string) outcome {
	t.Helper()
	fill(t, s, given)
	return must(s.Finish())(t)
}

func fill(t rapid.TB, s *Sheet, given map[string]string) {
	t.Helper()
	for i := 0; i < len(s.Questions); i++ {
		if text, ok := given[s.Questions[i].Name]; ok {
			s.goTo(i)
			answered(t, s, text)
		}
	}
}

// drawUnits are units that a bow may be kept in.
func drawUnits(t *rapid.T) measure.Units {
	return measure.Units{
		Length: rapid.SampledFrom([]measure.LengthUnit{measure.Inch, measure.Centimetre, measure.Millimetre}).Draw(t, "length unit"),
		Force:  rapid.SampledFrom([]measure.ForceUnit{measure.PoundForce, measure.KilogramForce, measure.Newton}).Draw(t, "force unit"),
	}
}

// drawBow is any bow: its sizes lie between the rule's marks, its limbs differ, and much may be missing.
func drawBow(t *rapid.T) model.Bow {
	text := rapid.OneOf(rapid.SampledFrom([]string{"", " ", "Ash", " two  blanks ", "\x1b[31m\u202e", "עץ"}), rapid.StringN(0, 20, 60))
	length := func(least, most float64, what string) measure.Length {
		return measure.Length(rapid.Float64Range(least, most).Draw(t, what))
	}
	b := model.Bow{
		Name: text.Draw(t, "name"), Wood: text.Draw(t, "wood"), Number: text.Draw(t, "number"), Units: drawUnits(t),
		Handle: length(0, 12, "handle"), HandleDepth: maybeDrawn(t, "handle depth", length(0.5, 2, "handle depth")),
		Section: rapid.SampledFrom([]model.Section{"", model.SectionD, model.SectionRectangle, model.SectionEllipse}).Draw(t, "section"),
		Order: model.Order{
			For: text.Draw(t, "for"), Draw: maybeDrawn(t, "draw", length(10, 20, "draw")),
			DrawTo: rapid.SampledFrom([]model.DrawTo{"", model.ToBelly, model.ToBack, model.ToPivot}).Draw(t, "draw to"),
			Weight: maybeDrawn(t, "weight", measure.Force(rapid.Float64Range(1, 399).Draw(t, "weight"))),
			Allow:  maybeDrawn(t, "allow", measure.Force(rapid.Float64Range(0, 9).Draw(t, "allow"))),
			Due:    rapid.SampledFrom([]model.Day{"", "2027-02-01"}).Draw(t, "due"),
		},
		Aim: model.Aim{
			Bend: rapid.SampledFrom([]string{"", "compass"}).Draw(t, "bend"), TillerAt: maybeDrawn(t, "tiller at", length(0, 10, "tiller at")),
			Tiller: maybeDrawn(t, "tiller", length(-1, 1, "tiller")), StiffTips: maybeDrawn(t, "stiff tips", length(0, 6, "stiff tips")),
		},
		Scale:  measure.Force(rapid.SampledFrom([]float64{0, 0.1, 0.25, 1.0 / 3}).Draw(t, "scale")),
		Cradle: rapid.SampledFrom([]string{"", "clamped"}).Draw(t, "cradle"), ID: rapid.SampledFrom([]string{"", "b"}).Draw(t, "id"),
		Rig: model.Rig{
			ScaleAt: rapid.SampledFrom([]model.ScaleAt{"", model.AtHook, model.OnRope}).Draw(t, "scale at"),
			High:    rapid.SampledFrom([]float64{0, 0.1, 1.0 / 13}).Draw(t, "reads high"),
			Tare:    measure.Force(rapid.SampledFrom([]float64{0, 0.3, 1.0 / 3}).Draw(t, "tare")),
			Hook:    rapid.SampledFrom([]measure.Length{0, 0.5, -1.0 / 7}).Draw(t, "hook off"),
			Line:    rapid.SampledFrom([]model.LineOn{"", model.OnWall, model.OnBow}).Draw(t, "line"),
		},
	}
	b.Rule = rapid.SampledFrom([]measure.Length{0, 1.0 / 16, 1.0 / 32, 0.1, 1.0 / 25.4, 0.5, 1.0 / 3}).Draw(t, "rule")
	for _, side := range model.Sides {
		limb := &b.Limbs[side]
		limb.Length = length(12, 40, "limb")
		at := measure.Length(0)
		for range rapid.IntRange(0, 6).Draw(t, "stations") {
			if at += length(0.3, 8, "on to the next station"); at > limb.Length {
				break
			}
			limb.Stations = append(limb.Stations, at)
			if rapid.Bool().Draw(t, "measured") {
				limb.Widths = append(limb.Widths, maybeDrawn(t, "width", length(0.3, 2, "width")))
			}
		}
	}
	return b
}

func maybeDrawn[T any](t *rapid.T, what string, v T) measure.Optional[T] {
	if rapid.Bool().Draw(t, what+" known") {
		return measure.Some(v)
	}
	return measure.Optional[T]{}
}

func same[T any](t rapid.TB, what string, got, want T) {
	t.Helper()
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}
