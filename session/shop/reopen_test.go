package shop_test

import (
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/shop"
)

func drawUnits(t *rapid.T) measure.Units {
	return measure.Units{
		Length: rapid.SampledFrom([]measure.LengthUnit{measure.Inch, measure.Centimetre, measure.Millimetre}).Draw(t, "length unit"),
		Force:  rapid.SampledFrom([]measure.ForceUnit{measure.PoundForce, measure.KilogramForce, measure.Newton}).Draw(t, "force unit"),
	}
}

func maybe[T any](t *rapid.T, what string, v T) measure.Optional[T] {
	if rapid.Bool().Draw(t, what+" known") {
		return measure.Some(v)
	}
	return measure.Optional[T]{}
}

// drawEvent is an event for ash, possible or not.
func drawEvent(t *rapid.T) model.Event {
	if rapid.Bool().Draw(t, "a pull") {
		reading := measure.Length(rapid.Float64Range(-0.5, 7).Draw(t, "reading"))
		return model.Pull{
			Draw: measure.Length(rapid.Float64Range(-1, 75).Draw(t, "draw")), From: model.FromLine,
			Peak:     maybe(t, "peak", measure.Force(rapid.Float64Range(-1, 401).Draw(t, "peak"))),
			Readings: model.Readings{row(reading, unread, 6), row(unread, reading)},
		}
	}
	all := listed()
	all[model.KindRack] = model.Finish{Step: rapid.OneOf(rapid.Just(model.HandedOver), rapid.String()).Draw(t, "step")}
	return all[rapid.SampledFrom(slices.Sorted(maps.Keys(all))).Draw(t, "kind")]
}

// drawEdit is another description of the bow, possible or not.
func drawEdit(t *rapid.T, bow model.Bow) model.Bow {
	bow.Name = rapid.OneOf(rapid.Just(bow.Name), rapid.String()).Draw(t, "name")
	bow.Order.Weight = maybe(t, "weight", measure.Force(rapid.Float64Range(0, 90).Draw(t, "weight")))
	bow.Order.Due = rapid.SampledFrom([]model.Day{"", "2027-02-01", "2027-03-01"}).Draw(t, "due")
	bow.Handle = measure.Length(rapid.Float64Range(0, 6).Draw(t, "handle"))
	bow.Limbs[model.Upper].Length = measure.Length(rapid.Float64Range(11, 40).Draw(t, "upper"))
	if rapid.Bool().Draw(t, "a station more") {
		for _, side := range model.Sides {
			limb := &bow.Limbs[side]
			limb.Stations = append(slices.Clone(limb.Stations), limb.Length-1)
		}
	}
	return bow
}

// drawWork does one thing at the bench, or lets time pass.
func drawWork(t *rapid.T, w *workshop, bench *shop.Bench) error {
	w.wait(time.Duration(rapid.IntRange(-3600, 20000).Draw(t, "seconds")) * time.Second)
	lines := bench.Story().Lines
	switch what := rapid.IntRange(0, 9).Draw(t, "work"); {
	case what == 0:
		return failure(turned(bench.Last(false)))
	case what == 1 && len(lines) > 0:
		return bench.Add(model.Void{Entry: rapid.SampledFrom(lines).Draw(t, "entry").Entry.ID, Why: "why"}, "")
	case what == 2:
		return bench.Redescribe(drawEdit(t, bench.Story().Bow()), "")
	case what == 3:
		return bench.Add(model.Rack{InHand: !rapid.Bool().Draw(t, "aside"), Why: "horn"}, "")
	}
	return bench.Add(drawEvent(t), "")
}

// Work at random, with the clock set back at times, and compare the bench with the reopened book after each step.
// Entries keep their order. Refused work changes nothing.
func TestStoryIsTheSameBuiltUpOrReopened(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := newWorkshop(7)
		bow := ash()
		bow.Units = drawUnits(t)
		id := need(w.NewBow(bow, ""))(t)
		bench, err := w.Bench(id)
		must(t, err)
		for range rapid.IntRange(1, 25).Draw(t, "steps") {
			before, broken := bench.Story(), rapid.IntRange(0, 9).Draw(t, "book") == 0
			if broken {
				w.book.Fail = errFull
			}
			if err := drawWork(t, w, bench); err != nil && !reflect.DeepEqual(bench.Story(), before) {
				t.Fatalf("%v, and yet the story changed", err)
			}
			if w.book.Fail = nil; broken && len(bench.Story().Lines) != len(before.Lines) {
				t.Fatal("an entry was told of that the book does not have")
			}
			live := bench.Story()
			again := need(w.Story(id))(t)
			if !reflect.DeepEqual(again, live) {
				t.Fatalf("the reopened book tells another story:\n%+v\nnot\n%+v", again, live)
			}
			must(t, live.Bow().Check())
			for n, line := range before.Lines {
				if live.Lines[n].Entry.ID != line.Entry.ID {
					t.Fatalf("entry %d was %s and is %s", n, line.Entry.ID, live.Lines[n].Entry.ID)
				}
			}
		}
		travels(t, w, bench.Story())
	})
}

// travels imports the bow's record into an empty book, once more, and into its own.
func travels(t *rapid.T, w *workshop, here session.Story) {
	file, other := w.written(t, here.Bow().ID), newWorkshop(8)
	for n, into := range []*workshop{other, other, w} {
		must(t, into.Import(strings.NewReader(file), func(done shop.Imported) {
			if n > 0 && (done.New || done.Entries != 0 || len(done.Differ) != 0) {
				t.Fatalf("a book's own record brings it %+v", done)
			}
		}))
		if again := into.written(t, here.Bow().ID); again != file {
			t.Fatalf("the record went in as\n%s\nand came out as\n%s", file, again)
		}
	}
	there := need(other.Story(here.Bow().ID))(t)
	if !reflect.DeepEqual(there.Bow(), here.Bow()) || there.Stage() != here.Stage() || len(there.Lines) != len(here.Lines) {
		t.Fatalf("there the bow is %+v, not %+v", there.Bow(), here.Bow())
	}
}
