package shop_test

import (
	"math"
	"slices"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// A bow that is sawn shorter keeps what it was read at before, and asks for its new string.
func TestAShortenedBowKeepsItsEarlierReadings(t *testing.T) {
	w := newWorkshop(1)
	bow := ash()
	for side := range bow.Limbs {
		bow.Limbs[side].Stations = append(bow.Limbs[side].Stations, bow.Limbs[side].Length)
	}
	bench := w.bench(t, bow)
	w.add(t, bench, model.StringLength{Length: 69.5}, braced(row(5.5, 5.25, 4.75, 0), row(5.25, 5, 4.5, 0)), pull(18, 26))
	before := advised(t, bench.Story(), verdict.Advice{})
	w.add(t, bench, model.Shorten{Upper: measure.Some[measure.Length](1), Lower: measure.Some[measure.Length](0.5)})
	story := bench.Story()
	if limb := story.Bow().Limbs[model.Upper]; limb.Length != 33 || !slices.Equal(limb.Stations, []measure.Length{6, 8, 12}) {
		t.Errorf("the upper limb is %+v, want 33 in with its stations but the nock", limb)
	}
	if got := story.Whole(); got[0].Length != 34 || got[1].Length != 33 || len(got[0].Stations) != 4 {
		t.Errorf("whole it was %+v", got)
	}
	if on, _ := story.Strings().Now(); on.Length.Known() || story.Pass().Number != 1 {
		t.Errorf("pass %d hangs on %+v, want a new pass on no known string", story.Pass().Number, on)
	}
	after := advised(t, bench.Story(), verdict.Advice{})
	same(t, "the rule", after.Judge(verdict.Finishing{}).Rule, "no string")
	was, _ := before.Weight.Get()
	if now, known := after.Weight.Get(); !known || now.Force.Estimate <= was.Force.Estimate {
		t.Errorf("shorter it weighs %v, before it was %v", now, was)
	}
	if then, _ := after.Strips[0].Weight.Get(); math.Abs(then.Estimate-was.Force.Estimate) > 1e-9 {
		t.Errorf("pass 0 now weighs %v, want %v", after.Strips[0].Weight, was.Force)
	}
	if _, err := turned(bench.Last(false)); err != nil || bench.Story().Bow().Limbs[0].Length != 34 {
		t.Errorf("undone it is %v in long (%v)", bench.Story().Bow().Limbs[0].Length, err)
	}
}
