package demo

import (
	"errors"
	"io"
	"testing"
	"time"

	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
)

// someDay is when the tests open the demo.
var someDay = time.Date(2027, time.March, 3, 10, 0, 0, 0, time.UTC)

// open reads the shop as an import would.
func open(t *testing.T, r io.Reader) []record.Record {
	t.Helper()
	var recs []record.Record
	in := record.NewReader(r)
	for {
		rec, err := in.Next()
		if errors.Is(err, io.EOF) {
			return recs
		}
		must(t, err)
		rec.Items = record.Merge(nil, rec.Items).Add
		recs = append(recs, rec)
	}
}

func stories(t *testing.T) map[string]session.Story {
	t.Helper()
	all := make(map[string]session.Story)
	for _, rec := range open(t, Records(someDay)) {
		all[rec.Bow.Name] = session.Fold(rec.Description, rec.Items)
	}
	return all
}

// look is what a bow of the shop shows.
type look struct {
	stage, waits string
	inHand       bool
	passes       int // after the first look
	longest      measure.Length
	void         int
}

func TestTheShopHasBowsAtTheStagesThatItPromises(t *testing.T) {
	want := map[string]look{
		"Ash for Wren":       {"tillering, pass 5", "a longer pull, or the scraper", true, 5, 22, 0},
		"Yew for Hollis":     {"tillering, pass 6", "finishing", true, 6, 28, 0},
		"Hickory for Tamsin": {"handed over", "", false, 7, 28, 0},
		"Locust for Bram":    {"long string", "a longer pull, or the scraper", true, 0, 10, 0},
		"Elm for Odile":      {"set aside", "horn on order", false, 3, measure.Centimetre.Length(55), 1},
	}
	all := stories(t)
	if len(all) != len(want) {
		t.Errorf("the shop has %d bows, want %d", len(all), len(want))
	}
	for name, s := range all {
		got := look{s.Stage(), s.Waits(), s.InHand, s.Pass().Number, s.LongestDraw(), 0}
		for _, line := range s.Lines {
			if err := s.Bow().CheckEvent(line.Entry.What); err != nil {
				t.Errorf("%s: %s: %v", name, session.Say(s.Bow(), line.Entry.What), err)
			}
			if !line.Counts() {
				got.void++
			}
		}
		if got != want[name] {
			t.Errorf("%s: %+v, want %+v", name, got, want[name])
		}
	}
}

// Common practice: the upper gap at 8 in wider by 1/4 in, and a pound or two over the order on the tree, which
// sanding and settling take.
func TestTheDoneBowsMeetTillerAndWeight(t *testing.T) {
	for _, name := range []string{"Yew for Hollis", "Hickory for Tamsin"} {
		s := stories(t)[name]
		tiller, _ := s.TillerOf(s.Pass().Number)
		off, known := tiller.OffAim()
		if !known || tiller.AimAt != 8 || tiller.Aim.Or(0) != 0.25 || max(off, -off) > 1.0/16 {
			t.Errorf("%s: off its tiller by %v (%t) of %+v", name, off, known, tiller)
		}
		peak, known := s.Pass().Peak(28).Get()
		if over := peak - s.Bow().Order.Weight.Or(0); !known || over < 1 || over > 2 {
			t.Errorf("%s: it weighs %v, over the order by %v", name, peak, over)
		}
	}
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
