package shop_test

import (
	"reflect"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/session"
)

// at is an entry made some hours and minutes into the tests' week, or at no known time.
func at(t *testing.T, id string, since time.Duration) record.Item {
	t.Helper()
	entry := model.Entry{ID: id, What: model.Note{Text: id}}
	if since >= 0 {
		entry.At = monday.Add(since)
	}
	item, err := record.NewItem(entry, ash().Units)
	must(t, err)
	return item
}

const noTime = -1 * time.Nanosecond

func TestSessionEndsWithAGapOverFourHours(t *testing.T) {
	const h, m = time.Hour, time.Minute
	for _, c := range []struct {
		name  string
		times []time.Duration
		want  []int // session of each entry
	}{
		{"no entries", nil, nil},
		{"exactly four hours is still one sitting", []time.Duration{0, 4 * h, 8 * h}, []int{0, 0, 0}},
		{"a second more is not", []time.Duration{0, 4*h + time.Second}, []int{0, 1}},
		{"an entry without a time belongs to the one before", []time.Duration{0, noTime, 5 * h, noTime}, []int{0, 0, 1, 1}},
		{"so do those at the front", []time.Duration{noTime, noTime, 5 * h, 12 * h}, []int{0, 0, 0, 1}},
		{"a clock set back begins no sitting", []time.Duration{8 * h, 1 * h, 8*h + 10*m}, []int{0, 0, 0}},
		{"nor does it make the gap after it longer", []time.Duration{8 * h, 1 * h, 12 * h}, []int{0, 0, 0}},
	} {
		desc, err := record.Describe(ash())
		must(t, err)
		var items []record.Item
		for i, since := range c.times {
			items = append(items, at(t, string(rune('a'+i)), since))
		}
		story := session.Fold(desc, items)
		var got []int
		for i, s := range story.Sessions {
			for _, line := range story.LinesIn(s) {
				if got = append(got, i); s.Number != i+1 || line.Entry.At.After(s.To) {
					t.Errorf("%s: session %d has a line at %v: %+v", c.name, i, line.Entry.At, s)
				}
			}
		}
		if !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: sessions are %v, want %v", c.name, got, c.want)
		}
	}
}

// TestAStoryUntilASessionKnowsNothingOfTheNext, but of what was struck out since.
func TestAStoryUntilASessionKnowsNothingOfTheNext(t *testing.T) {
	w, bench := atBench(t, pull(12, 20), pull(14, 99))
	wrong := lastID(bench)
	w.wait(24 * time.Hour)
	w.add(t, bench, scrape(model.Upper, 4, 10), pull(12, 18), model.Void{Entry: wrong})
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
