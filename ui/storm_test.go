package ui

import (
	"cmp"
	"errors"
	"flag"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"pgregory.net/rapid"

	"bendbook/ui/look"
)

var (
	stormKeys = flag.Int("storm", 6000, "how many random keys are pressed")
	stormSeed = flag.Uint64("seed", 0, "seed of the random keys; 0 takes one from the clock")
)

// seeded is the seed of a test, which is printed.
func seeded(t *testing.T) uint64 {
	seed := cmp.Or(*stormSeed, uint64(time.Now().UnixNano()))
	t.Logf("seed %d", seed)
	return seed
}

// Random keys, pastes and bursts at random window sizes, leaving and coming again, with what is worked out in the background done at
// once or late: no panic, no view that is wider or taller than the window, and what was once in the book stays there as
// it was.
func TestAStormOfKeysLosesNothingAndStaysInTheWindow(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(seeded(t), 1))
	h := sit(t, look.NoColour, true, 80, 24)
	kinds := slices.DeleteFunc(slices.Sorted(maps.Keys(named)), func(name string) bool { return name == "ctrl+c" })
	kept := h.documents()
	width, height := 80, 24
	for i := range *stormKeys {
		switch p := r.IntN(100); {
		case p < 3:
			width, height = r.IntN(210), r.IntN(70)
			h.resize(width, height)
		case p < 35:
			h.press(string("0123456789 /-."[r.IntN(14)]))
		case p < 60:
			h.press("enter")
		case p < 75:
			h.press(kinds[r.IntN(len(kinds))])
		case p < 77:
			text := []rune(strings.Repeat([]string{"弓\x1b[31m\u202e ", "18 20.5\t"}[r.IntN(2)], r.IntN(40)))
			h.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: text, Paste: r.IntN(2) == 0})
		case p < 78:
			h.settle(!h.hold)
		case i%50 == 0:
			h.send(leaveMsg{})
			if err := h.app.leave(); err != nil {
				t.Fatal(err)
			}
		default:
			h.press(string(rune(' ' + r.IntN(95))))
		}
		h.fits(width, height)
		if h.app.ended {
			h.open(look.NoColour, width, height)
			h.held = nil
		}
		if i%500 == 499 {
			now := h.documents()
			for key, doc := range kept {
				if now[key] != doc {
					t.Fatalf("after %d keys the entry %s is\n%s\nnot\n%s", i+1, key, now[key], doc)
				}
			}
			kept = now
		}
	}
	t.Logf("%d entries at the end", len(kept))
}

// documents are the entries of all bows as they stand in the book, by bow and id.
func (h *hands) documents() map[string]string {
	h.t.Helper()
	all := make(map[string]string)
	entries, _, err := h.book.Rows()
	for id := range entries {
		rec, _, unread := h.book.Bow(id)
		err = errors.Join(err, unread)
		for _, item := range rec.Items {
			all[id+" "+item.Entry.ID] = string(item.Doc)
		}
	}
	if err != nil {
		h.t.Fatal(err)
	}
	return all
}

// Every screen fits every window, and resizing keeps its place and form. Each is opened once.
func TestEveryScreenFitsEveryWindow(t *testing.T) {
	t.Parallel()
	type opened struct {
		*hands
		name, before string
	}
	var all []opened
	for _, name := range slices.Sorted(maps.Keys(views)) {
		h := show(t, views[name])
		all = append(all, opened{h, name, h.app.View()})
	}
	rapid.Check(t, func(r *rapid.T) {
		o := rapid.SampledFrom(all).Draw(r, "view")
		width, height := rapid.IntRange(0, 220).Draw(r, "width"), rapid.IntRange(0, 80).Draw(r, "height")
		o.app.desk.Styles.ASCII = rapid.Bool().Draw(r, "ascii")
		o.resize(width, height)
		o.fits(width, height)
		if room := o.app.room(); width >= leastWidth && height >= leastHeight {
			n := strings.Count(o.app.top().view(width, room), "\n") + 1
			if n > room || n < room && (o.name == "bench" || strings.HasPrefix(o.name, "story")) {
				r.Fatalf("its picture has %d lines where there is room for %d", n, room)
			}
		}
		if lines := strings.Count(o.app.View(), "\n") + 1; width >= leastWidth && height >= leastHeight && lines != height {
			r.Fatalf("%d lines in a window of %d by %d", lines, width, height)
		}
		if small := width < leastWidth || height < leastHeight; small && width > 0 && height > 1 {
			if !strings.Contains(o.app.View(), "The"[:min(3, width)]) {
				r.Fatalf("a window of %d by %d says nothing:\n%s", width, height, o.app.View())
			}
		}
		o.app.desk.Styles.ASCII = false
		o.resize(80, 24)
		if o.app.View() != o.before {
			r.Fatalf("resizing changed the screen")
		}
	})
}
