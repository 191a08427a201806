package ui

import (
	"strings"
	"testing"
	"time"

	"bendbook/session/booktest"
	"bendbook/session/shop"
	"bendbook/ui/look"
)

// The load that is promised: a thousand bows of sixty entries, and one of two thousand that stands first on the rack.
const manyBows, entriesEach, manyEntries = 1000, 60, 2000

// BenchmarkKeys takes keys on the promised load, each with the frame that shows what it brings: 16 ms is wanted. What is
// worked out in the background is left out.
func BenchmarkKeys(b *testing.B) {
	s := shopIn(large(b, manyBows, entriesEach, manyEntries))
	for _, c := range []struct {
		name, to string   // the keys that lead there from the rack, with blanks between them
		keys     []string // what is measured, and brings back to there
	}{
		{"rack", "", []string{"down", "up"}},
		{"find", "/", []string{"a", "s", "h", "backspace", "backspace", "backspace"}},
		{"today-and-back", "", []string{"t", "esc"}},
		{"bench-and-back", "", []string{"enter", "esc"}},
		{"pass", "enter", []string{"left", "right"}},
		{"bend", "enter", []string{"v", "v"}},
		{"pull-saved", "enter", []string{"2", "8", "enter", "4", "0", "enter", "ctrl+s"}},
		{"entries-and-back", "enter", []string{"e", "down", "esc"}},
		{"story-and-back", "enter", []string{"t", "up", "esc"}},
		{"summary-scrolled", "enter w", []string{"down", "up"}},
		{"advice-scrolled", "enter a", []string{"down", "up"}},
		{"plan", "enter g", []string{"+", "-"}},
		{"finish", "f", []string{"down", "up"}},
	} {
		b.Run(c.name, func(b *testing.B) {
			h := &hands{t: b, shop: s}
			h.open(look.TrueColour, 80, 24)
			h.press(strings.Fields(c.to)...)
			h.hold = true
			b.ReportAllocs()
			for b.Loop() {
				for _, key := range c.keys {
					if h.press(key).app.View() == "" {
						b.Fatal("nothing is shown")
					}
				}
				h.held = nil
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/1000/float64(b.N*len(c.keys)), "ms/key")
		})
	}
}

// BenchmarkOpen shows the rack of the promised load: 150 ms is wanted for the whole program.
func BenchmarkOpen(b *testing.B) {
	book := large(b, manyBows, entriesEach, manyEntries)
	if _, err := shopIn(book).Rack(); err != nil { // each bow is read whole and gets its tag
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		h := &hands{t: b, shop: shopIn(book), hold: true}
		h.open(look.TrueColour, 80, 24)
		h.see("> Bow 0")
	}
}

// large is a book of so many bows with so many entries each, a fifth of them in hand, and one with more, which
// stands first on the rack.
func large(tb testing.TB, bows, each, more int) *booktest.Memory {
	tb.Helper()
	book := booktest.New()
	add := func(i, entries int, inHand bool) {
		rec, err := booktest.Bow(i, entries, inHand, morning.AddDate(0, 0, -30))
		if err == nil {
			err = book.AddBow(rec, "")
		}
		if err != nil {
			tb.Fatal(err)
		}
	}
	for i := range bows {
		add(i+1, each, i%5 == 0)
	}
	if more > 0 {
		add(0, more, true)
	}
	return book
}

func shopIn(book shop.Book) *shop.Shop {
	return shop.Open(book, shop.Options{Now: func() time.Time { return morning }})
}
