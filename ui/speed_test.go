package ui

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/ui/look"
)

// BenchmarkStory is what a key costs in a story of forty passes that is worked out: to its first picture, and from
// pass to pass in the list, an open pass and at the bench. It tells the mean, the 99th percentile and the most.
func BenchmarkStory(b *testing.B) {
	h := handsOn(b)
	// The passes of the demo's finished bow, five times over.
	recs := demoBows(b)
	rec := recs[slices.IndexFunc(recs, func(r record.Record) bool { return r.Bow.Name == "Hickory for Tamsin" })]
	bow := h.newBow(rec.Bow)
	for len(bow.Story().Passes) <= 40 {
		for _, item := range rec.Items {
			switch what := item.Entry.What.(type) {
			case model.Pull, model.Braced, model.Relaxed, model.Scrape, model.Exercise:
				if err := bow.Add(what, ""); err != nil {
					b.Fatal(err)
				}
			}
		}
	}
	h.open(look.TrueColour, 80, 24)
	h.press("enter")
	if n := len(h.bench().advice.Strips); n < 41 {
		b.Fatalf("%d passes are worked out", n)
	}
	for _, c := range []struct {
		name       string
		begin      []string
		keys, back []string
	}{
		{"first", nil, []string{"t"}, []string{"esc"}},
		{"list", []string{"t"}, []string{"up", "up", "up", "pgup", "pgdown", "down"}, nil},
		{"open", []string{"t", "enter"}, []string{"up", "up", "up", "down"}, nil},
		{"compare", []string{"t", " ", "home"}, []string{"C"}, []string{"esc"}},
		{"bench", nil, []string{"down", "down", "down", "up"}, nil},
	} {
		for _, size := range [][2]int{{80, 24}, {200, 60}} {
			b.Run(fmt.Sprintf("%s-%d", c.name, size[0]), func(b *testing.B) {
				h.resize(size[0], size[1])
				h.press(c.begin...).app.View()
				var took []time.Duration
				for i := 0; b.Loop(); i++ {
					began := time.Now()
					h.press(c.keys[i%len(c.keys)]).app.View()
					took = append(took, time.Since(began))
					b.StopTimer()
					h.press(c.back...)
					b.StartTimer()
				}
				slices.Sort(took)
				b.ReportMetric(took[(len(took)-1)*99/100].Seconds()*1e3, "p99-ms")
				b.ReportMetric(took[len(took)-1].Seconds()*1e3, "most-ms")
				for _, open := h.app.top().(*bench); !open; _, open = h.app.top().(*bench) {
					h.press("esc")
				}
			})
		}
	}
}
