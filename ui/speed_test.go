package ui

import (
	"io"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/session"
	"bendbook/session/booktest"
	"bendbook/ui/look"
)

// BenchmarkView draws each screen of a bow of 2,000 entries, and the rack and what can be done today of 1,000
// bows: 2 ms is wanted. Each begins by the keys that lead there from the rack.
func BenchmarkView(b *testing.B) {
	shops := make(map[int]*session.Shop)
	for _, place := range []struct {
		name string
		bows int // besides the bow of 2,000 entries
		keys []string
	}{
		{"rack", 1000, nil},
		{"find", 1000, []string{"/", "ash 7"}},
		{"today", 1000, []string{"t"}},
		{"bench", 10, []string{"enter"}},
		{"bend", 10, []string{"enter", "v"}},
		{"pull", 10, []string{"enter", "2", "8"}},
		{"entries", 10, []string{"enter", "e", "pgdown", "pgdown"}},
		{"story", 10, []string{"enter", "t"}},
		{"summary", 10, []string{"enter", "w"}},
		{"advice", 10, []string{"enter", "a"}},
		{"plan", 10, []string{"enter", "g"}},
		{"finish", 10, []string{"f"}},
		{"compare", 10, []string{" ", " ", " ", "c"}},
	} {
		if shops[place.bows] == nil {
			shops[place.bows] = shopIn(large(b, place.bows, 2000))
		}
		b.Run(place.name, func(b *testing.B) {
			h := &hands{t: b, shop: shops[place.bows]}
			h.open(look.TrueColour, 80, 24)
			h.press(place.keys...)
			b.ReportAllocs()
			for b.Loop() {
				if h.app.View() == "" {
					b.Fatal("nothing is shown")
				}
			}
		})
	}
}

// BenchmarkUpdate takes one key on a bow of 2,000 entries in a book of 1,000 bows, as far as it holds up the
// next frame.
func BenchmarkUpdate(b *testing.B) {
	shop := shopIn(large(b, 1000, 2000))
	sit := func(b *testing.B, keys ...string) *hands {
		h := &hands{t: b, shop: shop}
		h.open(look.TrueColour, 80, 24)
		h.press(keys...)
		h.hold = true // what is begun beside does not hold it up
		return h
	}
	for _, c := range []struct {
		name string
		keys []string // to where it is measured
		key  []string // what is measured, and brings back to there
	}{
		{"note-saved", []string{"enter"}, []string{"n", "x", "enter"}},
		{"pull-saved", []string{"enter"}, []string{"2", "8", "enter", "4", "0", "enter", "ctrl+s"}},
		{"pass", []string{"enter"}, []string{"left", "right"}},
		{"rack-and-back", []string{"enter"}, []string{"esc", "enter"}},
		{"today-and-back", nil, []string{"t", "esc"}},
		{"entries-and-back", []string{"enter"}, []string{"e", "down", "esc"}},
		{"story-and-back", []string{"enter"}, []string{"t", "up", "esc"}},
		{"summary-and-back", []string{"enter"}, []string{"w", "esc"}},
	} {
		b.Run(c.name, func(b *testing.B) {
			h := sit(b, c.keys...)
			b.ReportAllocs()
			for b.Loop() {
				h.press(c.key...)
				h.held = nil
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/1000/float64(b.N*len(c.key)), "ms/key")
		})
	}
}

// large is a book of so many bows of sixty entries and one of more, which stands first on the rack.
func large(tb testing.TB, bows, entries int) *booktest.Memory {
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
		add(i+1, 60, i%5 == 0)
	}
	if entries > 0 {
		add(0, entries, true)
	}
	return book
}

func shopIn(book session.Book) *session.Shop {
	return session.Open(book, session.Options{Now: func() time.Time { return morning }})
}

// BenchmarkThousandBows opens the rack of a book of the promised size, first without cached rows, then with
// them, and types into its find field. A key's time has the drawing in it.
func BenchmarkThousandBows(b *testing.B) {
	book := large(b, 1000, 2000)
	open := func() *App {
		app, err := New(Desk{Shop: shopIn(book), Styles: look.New(io.Discard, look.TrueColour, false), Place: time.UTC})
		if err != nil {
			b.Fatal(err)
		}
		app.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
		if app.View() == "" {
			b.Fatal("nothing is shown")
		}
		return app
	}
	begun := time.Now()
	open()
	b.Logf("first opening, without cached rows: %v", time.Since(begun))
	b.Run("open", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			open()
		}
	})
	b.Run("key", func(b *testing.B) {
		app := open()
		press := func(key tea.KeyMsg) {
			app.Update(key)
			if app.View() == "" {
				b.Fatal("nothing is shown")
			}
		}
		press(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("/")})
		for i := 0; b.Loop(); i++ {
			if i%12 == 11 {
				for range 11 {
					app.Update(tea.KeyMsg{Type: tea.KeyBackspace})
				}
			}
			press(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{rune("bow 7 ash 44"[i%12])}})
		}
	})
}
