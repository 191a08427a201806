package session_test

import (
	"bytes"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/session"
)

// TestBooksThatGoOnFromOneEntryGiveDifferentIDs lets the clocks of two books stand behind the last entry of the bow.
func TestBooksThatGoOnFromOneEntryGiveDifferentIDs(t *testing.T) {
	books := [2]*workshop{newWorkshop(1), newWorkshop(2)}
	first := books[0].bench(t, ash())
	books[0].add(t, first, pull(18, 22))
	id := first.Story().Bow().ID
	rec, err := books[0].Export(id)
	if err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	if err := record.Write(&file, rec); err != nil {
		t.Fatal(err)
	}
	if err := books[1].Import(&file, func(session.Imported) {}); err != nil {
		t.Fatal(err)
	}
	ids := make(map[string]bool)
	for i, w := range books {
		w.time = monday.Add(-24 * time.Hour)
		bench, err := w.Bench(id)
		if err != nil {
			t.Fatal(err)
		}
		for range 20 {
			if err := bench.Add(model.Note{Text: []string{"left", "right"}[i]}, ""); err != nil {
				t.Fatal(err)
			}
			if ids[lastID(bench)] {
				t.Fatalf("the id %s was given twice", lastID(bench))
			}
			ids[lastID(bench)] = true
		}
	}
}
