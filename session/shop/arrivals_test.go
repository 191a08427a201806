package shop_test

import (
	"errors"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/session/booktest"
	"bendbook/session/shop"
)

// TestEntriesFromAFileStandWhereTheirTimesPutThem, whatever the order of their rows; those without a time at the end.
func TestEntriesFromAFileStandWhereTheirTimesPutThem(t *testing.T) {
	at := func(hour int) time.Time { return time.Date(2027, 1, 10, hour, 0, 0, 0, time.UTC) }
	note := func(text string, when time.Time) model.Entry {
		return model.Entry{At: when, What: model.Note{Text: text}}
	}
	open := func() (*shop.Bench, *booktest.Memory) {
		w := newWorkshop(1)
		w.time = at(12)
		bench := w.bench(t, ash())
		must(t, bench.Add(model.Note{Text: "noon"}, ""))
		return bench, w.book
	}
	for name, c := range map[string]struct {
		entries []model.Entry
		want    string
	}{
		"newest first": {[]model.Entry{note("evening", at(18)), note("morning", at(8)), note("early", at(6))}, "early morning noon evening "},
		"no times":     {[]model.Entry{note("a", time.Time{}), note("b", time.Time{})}, "noon a b "},
		"some times":   {[]model.Entry{note("morning", at(8)), note("then", time.Time{})}, "morning then noon "},
	} {
		bench, _ := open()
		arrivals, err := bench.Look(c.entries)
		must(t, err)
		must(t, bench.Keep(arrivals))
		got := ""
		for _, line := range bench.Story().Lines {
			got += line.Entry.What.(model.Note).Text + " "
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
	// A book that fails keeps none, and the bench tells none.
	bench, book := open()
	arrivals, err := bench.Look([]model.Entry{note("a", time.Time{}), note("b", time.Time{})})
	must(t, err)
	book.Fail = errors.New("full")
	if err := bench.Keep(arrivals); !errors.Is(err, book.Fail) || len(bench.Story().Lines) != 1 {
		t.Errorf("%v, and %d lines", err, len(bench.Story().Lines))
	}
}
