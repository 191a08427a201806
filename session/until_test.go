package session_test

import (
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/booktest"
)

// TestAStoryUntilASessionKnowsNothingOfTheNext, but of what was struck out since.
func TestAStoryUntilASessionKnowsNothingOfTheNext(t *testing.T) {
	now := time.Date(2027, 1, 10, 9, 0, 0, 0, time.UTC)
	shop := session.Open(booktest.New(), session.Options{Now: func() time.Time { return now }})
	limb := model.Limb{Length: 34, Stations: []measure.Length{6, 12}}
	id, err := shop.NewBow(model.Bow{Name: "Ash", Units: measure.Imperial(), Limbs: [2]model.Limb{limb, limb}}, "")
	if err != nil {
		t.Fatal(err)
	}
	bench, err := shop.Bench(id)
	if err != nil {
		t.Fatal(err)
	}
	add := func(events ...model.Event) {
		t.Helper()
		for _, event := range events {
			now = now.Add(time.Minute)
			if err := bench.Add(event, ""); err != nil {
				t.Fatal(err)
			}
		}
	}
	add(model.Pull{Draw: 12, Peak: measure.Some[measure.Force](20)}, model.Pull{Draw: 14, Peak: measure.Some[measure.Force](99)})
	wrong := bench.Story().Lines[1].Entry.ID
	now = now.Add(24 * time.Hour)
	add(model.Scrape{Limb: model.Upper, From: 4, To: 10}, model.Pull{Draw: 12, Peak: measure.Some[measure.Force](18)}, model.Void{Entry: wrong})
	story := bench.Story()
	then := story.Until(story.Sessions[0])
	pull, pass, ok := then.Weight()
	if !ok || pass != 0 || pull.Draw != 12 || pull.Peak.Or(0) != 20 {
		t.Errorf("then it weighed %v (pass %d); want 20 at 12 in, for 99 was struck out", pull, pass)
	}
	if last := story.Until(story.Sessions[1]); len(last.Passes) != 2 {
		t.Errorf("until its last session it has %d passes, want both", len(last.Passes))
	}
}
