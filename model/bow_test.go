package model

import (
	"testing"
	"time"

	"bendbook/model/measure"
)

func TestDrawToBellyFollowsThePlaceTheDrawIsMeasuredTo(t *testing.T) {
	deep := some(1.2)
	for _, c := range []struct {
		what  string
		order Order
		depth measure.Optional[length]
		want  measure.Optional[length]
	}{
		{"not ordered", Order{}, deep, measure.Optional[length]{}},
		{"belly", Order{Draw: some(28), DrawTo: ToBelly}, deep, some(28)},
		{"not said", Order{Draw: some(28)}, deep, some(28)},
		{"back", Order{Draw: some(28), DrawTo: ToBack}, deep, some(28 - 1.2)},
		{"back, depth not known", Order{Draw: some(28), DrawTo: ToBack}, measure.Optional[length]{}, measure.Optional[length]{}},
		// Published trade standard for draw length: 26¼ in from nock to pivot point is a 28 in draw.
		{"pivot", Order{Draw: some(28), DrawTo: ToPivot}, measure.Optional[length]{}, some(26.25)},
	} {
		bow := longbow()
		bow.Order, bow.HandleDepth = c.order, c.depth
		if got := bow.DrawToBelly(); got != c.want {
			t.Errorf("%s: %v, want %v", c.what, got, c.want)
		}
	}
}

func TestADayIsACalendarDay(t *testing.T) {
	first := time.Date(2027, time.February, 1, 0, 0, 0, 0, time.UTC)
	if got, ok := Day("2027-02-01").Time(); !ok || !got.Equal(first) {
		t.Errorf("2027-02-01 is %v, %v", got, ok)
	}
	for _, day := range []Day{"", "2027-2-1", "2027-02-30", "1 Feb 2027", "2027-02-01T00:00:00Z"} {
		if got, ok := day.Time(); ok {
			t.Errorf("%q is %v", day, got)
		}
	}
}

func TestReadingsKnowWhatWasNotRead(t *testing.T) {
	r := Readings{Upper: {some(0), {}}, Lower: nil}
	if !r.At(Upper, 0).Known() || r.At(Upper, 1).Known() || r.At(Upper, 2).Known() || r.At(Lower, 0).Known() {
		t.Error("only the first station of the upper limb was read")
	}
	if r.At(Upper, -1).Known() || !r.Any() || (Readings{{{}}, {}}).Any() {
		t.Error("a reading of 0 is one; a gap is none")
	}
}

func TestTheCalliperShowsWhatAScraperTakes(t *testing.T) {
	bow := longbow()
	if got := bow.Calliper().WithUnit(0.0034); got != "0.003 in" {
		t.Errorf("0.0034 in is %s", got)
	}
	bow.Units.Length = measure.Centimetre
	if got := bow.Calliper().WithUnit(0.1 / 2.54); got != "1.00 mm" {
		t.Errorf("1 mm is %s", got)
	}
}
