package demo

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/oklog/ulid/v2"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
)

// someDay is a day on which the demo is opened in the tests.
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
		if err != nil {
			t.Fatal(err)
		}
		rec.Items = record.Merge(nil, rec.Items).Add
		recs = append(recs, rec)
	}
}

func stories(t *testing.T) []session.Story {
	t.Helper()
	var all []session.Story
	for _, rec := range open(t, Records(someDay)) {
		all = append(all, session.Fold(rec.Description, rec.Items))
	}
	return all
}

// storyOf is the story of the bow whose name begins so.
func storyOf(t *testing.T, name string) session.Story {
	t.Helper()
	for _, s := range stories(t) {
		if strings.HasPrefix(s.Bow().Name, name) {
			return s
		}
	}
	t.Fatalf("no bow of the shop is called %s", name)
	return session.Story{}
}

func TestTheShopHasBowsAtTheStagesThatItPromises(t *testing.T) {
	type look struct {
		stage, waits string
		inHand       bool
		passes       int // after the first look
		longest      measure.Length
	}
	centimetres := measure.Centimetre.Length
	want := map[string]look{
		"Ash for Wren":       {"tillering, pass 5", "a longer pull, or the scraper", true, 5, 22},
		"Yew for Hollis":     {"tillering, pass 6", "finishing", true, 6, 28},
		"Hickory for Tamsin": {"handed over", "", false, 7, 28},
		"Locust for Bram":    {"long string", "a longer pull, or the scraper", true, 0, 10},
		"Elm for Odile":      {"set aside", "horn on order", false, 3, centimetres(55)},
	}
	all := stories(t)
	if len(all) != len(want) {
		t.Errorf("the shop has %d bows, want %d", len(all), len(want))
	}
	for _, s := range all {
		got := look{s.Stage(), s.Waits(), s.InHand, s.Pass().Number, s.LongestDraw()}
		if got != want[s.Bow().Name] {
			t.Errorf("%s: %+v, want %+v", s.Bow().Name, got, want[s.Bow().Name])
		}
	}
}

func TestIDsAreULIDsOfTheirTimeInOrderAndNoneTwice(t *testing.T) {
	seen := make(map[string]bool)
	unique := func(id string) ulid.ULID {
		u, err := ulid.ParseStrict(id)
		if err != nil || seen[id] {
			t.Errorf("id %s: %v, seen before: %t", id, err, seen[id])
		}
		seen[id] = true
		return u
	}
	for _, rec := range open(t, bytes.NewReader(shop)) {
		unique(rec.Bow.ID)
		var last ulid.ULID
		for _, item := range rec.Items {
			u := unique(item.Entry.ID)
			if !ulid.Time(u.Time()).Equal(item.Entry.At) {
				t.Errorf("%s: entry %s is of %v, its id of %v", rec.Bow.Name, u, item.Entry.At, ulid.Time(u.Time()))
			}
			if u.Compare(last) <= 0 || record.Key(u) != item.Key {
				t.Errorf("%s: entry %s stands out of order", rec.Bow.Name, u)
			}
			last = u
		}
	}
}

func TestSessionsAreDaysApart(t *testing.T) {
	for _, s := range stories(t) {
		for i := 1; i < len(s.Sessions); i++ {
			if pause := s.Sessions[i].From.Sub(s.Sessions[i-1].To); pause < 15*time.Hour {
				t.Errorf("%s: session %d begins %v after the one before", s.Bow().Name, i+1, pause)
			}
		}
		if hours := s.Sessions[0].To.Sub(s.Sessions[0].From); hours <= 0 || hours > 4*time.Hour {
			t.Errorf("%s: the first session lasts %v", s.Bow().Name, hours)
		}
	}
}

func TestTheNewBowsPullsAreShort(t *testing.T) {
	s := storyOf(t, "Locust")
	long, known := s.StringLength().Get()
	if !known || long <= s.Bow().Length() {
		t.Errorf("the string of %v is no long string on a bow of %v", long, s.Bow().Length())
	}
	if n := len(s.Pass().Pulls); n != 2 {
		t.Errorf("%d pulls, want 2", n)
	}
}

// Marking is by common practice: about a pound goes in the first weeks of use, and what is left is rounded down.
func TestTheFinishedBowIsMarkedByPractice(t *testing.T) {
	const settling measure.Force = 1
	s := storyOf(t, "Hickory")
	peak, known := s.Pass().Peak(28).Get()
	mark := measure.Force(int(peak - settling))
	if !known || mark != s.Bow().Order.Weight.Or(0) {
		t.Errorf("peaking at %v it is marked %v; ordered were %v", peak, mark, s.Bow().Order.Weight.Or(0))
	}
	if s.Bow().Number != "47" {
		t.Errorf("number %q", s.Bow().Number)
	}
	said := false
	for _, line := range s.Lines {
		if note, isNote := line.Entry.What.(model.Note); isNote {
			said = said || strings.Contains(note.Text, "Stamped 47, 35 lb at 28 in")
		}
	}
	if !said {
		t.Error("no note says what was stamped")
	}
}

// Two coats with a day between are common practice.
func TestTheFinishedBowWentThroughEveryStep(t *testing.T) {
	s := storyOf(t, "Hickory")
	var steps []string
	var coats []time.Time
	for _, line := range s.Lines {
		if finish, ok := line.Entry.What.(model.Finish); ok {
			steps = append(steps, finish.Step)
			if n, isCoat := finish.Coat.Get(); isCoat {
				coats = append(coats, line.Entry.At)
				if n != len(coats) {
					t.Errorf("coat %d comes as number %d", n, len(coats))
				}
			}
		}
	}
	want := "horn nocks fitted, filed, sanded, weighed, marked, handle, varnish, varnish, nocks polished, strung, handed over"
	if got := strings.Join(steps, ", "); got != want {
		t.Errorf("steps: %s\nwant:  %s", got, want)
	}
	if len(coats) != 2 || coats[1].Sub(coats[0]) < 24*time.Hour {
		t.Errorf("coats at %v, want two, a day apart", coats)
	}
}

func TestTheBowSetAsideHasAVoidedEntry(t *testing.T) {
	voided := 0
	s := storyOf(t, "Elm")
	for _, line := range s.Lines {
		if !line.Counts() {
			voided++
			if line.Voided.Why == "" || line.Entry.What.Kind() != model.KindBraced {
				t.Errorf("voided: %v, because %q", line.Entry.What.Kind(), line.Voided.Why)
			}
		}
	}
	if voided != 1 {
		t.Errorf("%d entries are void, want 1", voided)
	}
	if u := s.Bow().Units; u.Length != measure.Centimetre || u.Force != measure.KilogramForce {
		t.Errorf("it is kept in %v", u)
	}
}
