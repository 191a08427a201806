package session_test

import (
	"fmt"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// BenchmarkFold folds a bow with more entries than a lifetime gives it.
func BenchmarkFold(b *testing.B) {
	w := newWorkshop(1)
	bench := w.bench(b, ash())
	var events []model.Event
	for len(events) < 5000 {
		events = append(events, scrape(model.Upper, 4, 12), model.Exercise{Pulls: 20}, braced(row(6, 5, 4), row(6, 5, 4)), pull(18, 22), pullRead(20, 1, 2, 3))
	}
	for i, event := range events {
		if i%1000 == 0 { // the bench folds at every entry; the book alone does not
			bench = refreshed(b, w, bench)
		}
		w.add(b, bench, event)
	}
	story := bench.Story()
	desc, items := story.Record().Description, story.Record().Items
	b.ReportAllocs()
	for b.Loop() {
		session.Fold(desc, items)
	}
}

func refreshed(b *testing.B, w *workshop, bench *session.Bench) *session.Bench {
	again, err := w.Bench(bench.Story().Bow().ID)
	if err != nil {
		b.Fatal(err)
	}
	return again
}

// BenchmarkRack lists a thousand bows of twenty entries.
func BenchmarkRack(b *testing.B) {
	w := newWorkshop(1)
	for n := range 1000 {
		bow := ash()
		bow.Name = fmt.Sprint("Bow ", n)
		bench := w.bench(b, bow)
		for k := range 20 {
			w.add(b, bench, pull(10+measure.Length(k), 12+measure.Force(k)))
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := w.Rack(); err != nil {
			b.Fatal(err)
		}
	}
}
