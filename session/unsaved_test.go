package session_test

import (
	"bytes"
	"testing"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/session"
)

// TestWhatTheBookDoesNotTakeIsKeptApart keeps an entry as a record, which brings it into the book later, once.
func TestWhatTheBookDoesNotTakeIsKeptApart(t *testing.T) {
	shop := newWorkshop(1)
	bench := shop.bench(t, ash())
	shop.add(t, bench, pull(18, 22))
	id := bench.Story().Bow().ID
	rec, err := bench.Apart(pull(20, 25))
	if err != nil {
		t.Fatal(err)
	}
	bow := bench.Story().Bow()
	bow.Name = "Ash, renamed"
	renamed, err := bench.RedescribedApart(bow)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(bench.Story().Lines); n != 1 {
		t.Errorf("the story has %d entries", n)
	}
	for range 2 {
		for _, rec := range []record.Record{rec, renamed} {
			var file bytes.Buffer
			if err := record.Write(&file, rec); err != nil {
				t.Fatal(err)
			}
			if err := shop.Import(&file, func(done session.Imported) {
				if done.New || done.DescribedElse || len(done.Differ) > 0 {
					t.Errorf("importing says %s", done)
				}
			}); err != nil {
				t.Fatal(err)
			}
		}
	}
	story, err := shop.Story(id)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(story.Lines); n != 3 || story.Bow().Name != "Ash, renamed" {
		t.Errorf("there are %d entries of %s", n, story.Bow().Name)
	}
	made, err := shop.NewBowApart(model.Bow{Name: "Elm", Units: bow.Units, Limbs: bow.Limbs})
	if err != nil || made.Bow.ID == "" || made.Bow.Name != "Elm" {
		t.Errorf("a new bow apart is %+v, %v", made.Bow, err)
	}
}
