package ui

import (
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

// Random keys at random window sizes: no panic, no view that is wider or taller than the window, and never an entry less
// than before.
func TestAStormOfKeysLosesNothingAndStaysInTheWindow(t *testing.T) {
	t.Parallel()
	seed := *stormSeed
	if seed == 0 {
		seed = uint64(time.Now().UnixNano())
	}
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	h := sit(t, look.NoColour, true, 80, 24)
	kinds := slices.DeleteFunc(slices.Sorted(maps.Keys(named)), func(name string) bool { return name == "ctrl+c" })
	kept := h.entries()
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
			h.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(strings.Repeat("弓\x1b[31m ", r.IntN(40))), Paste: true})
		default:
			h.press(string(rune(' ' + r.IntN(95))))
		}
		h.fits(width, height)
		if h.app.ended {
			h.open(look.NoColour, width, height)
		}
		if i%500 == 499 {
			now := h.entries()
			if now < kept {
				t.Fatalf("after %d keys there are %d entries, before %d", i+1, now, kept)
			}
			kept = now
		}
	}
	t.Logf("%d entries at the end", kept)
}

// Every screen fits every window, and resizing keeps its place and form. Each is opened once.
func TestEveryScreenFitsEveryWindow(t *testing.T) {
	t.Parallel()
	type opened struct {
		*hands
		before string
	}
	var all []opened
	for _, name := range slices.Sorted(maps.Keys(views)) {
		h := show(t, views[name])
		all = append(all, opened{h, h.app.View()})
	}
	rapid.Check(t, func(r *rapid.T) {
		o := rapid.SampledFrom(all).Draw(r, "view")
		width, height := rapid.IntRange(0, 220).Draw(r, "width"), rapid.IntRange(0, 80).Draw(r, "height")
		o.resize(width, height)
		o.fits(width, height)
		if lines := strings.Count(o.app.View(), "\n") + 1; width >= leastWidth && height >= leastHeight && lines != height {
			r.Fatalf("%d lines in a window of %d by %d", lines, width, height)
		}
		if small := width < leastWidth || height < leastHeight; small && width > 0 && height > 1 {
			if !strings.Contains(o.app.View(), "The"[:min(3, width)]) {
				r.Fatalf("a window of %d by %d says nothing:\n%s", width, height, o.app.View())
			}
		}
		o.resize(80, 24)
		if o.app.View() != o.before {
			r.Fatalf("resizing changed the screen")
		}
	})
}
