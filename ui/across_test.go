package ui

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"

	"bendbook/ui/digits"
	"bendbook/ui/look"
)

// minutes is how many minutes of arc a number of rows of a window is high, seen from 3 m, where the window fills the screen of a laptop of
// 13 in, 180 mm high.
func minutes(rows float64, height int) float64 {
	const screen, distance, perRadian = 180, 3000, 3437.75
	return rows * screen / float64(height) / distance * perRadian
}

// written says whether a view shows a text in block figures of a size.
func written(view, text string, size digits.Size) bool {
	lines := strings.Split(ansi.Strip(view), "\n")
	block := strings.Split(digits.Render(text, size, false), "\n")
	for from := 0; from+len(block) <= len(lines); from++ {
		all := true
		for i, row := range block {
			all = all && strings.Contains(lines[from+i]+strings.Repeat(" ", 200), row)
		}
		if all {
			return true
		}
	}
	return false
}

// highest is how many rows high the largest block figures are in which a view shows a text; 0 where it shows it in none.
func highest(view, text string) float64 {
	most := 0.0
	for _, size := range []digits.Size{digits.Small, digits.Narrow, digits.Large, digits.HugeNarrow, digits.Huge} {
		if written(view, text, size) {
			rows := float64(size.Rows())
			if size == digits.Small {
				rows = 2.5 // the upper half of its first row is blank
			}
			most = max(most, rows)
		}
	}
	return most
}

// What ISO 9241-303 asks for (from memory): characters of 20 to 22 minutes of arc to be read with ease, 16 at the least. At 80 by 24 that is
// 2.4 rows and 1.9.
func TestWhatMattersIsReadFromAcrossTheShop(t *testing.T) {
	t.Parallel()
	h := sit(t, look.NoColour, true, 80, 24)
	legible := func(figure string, words ...string) {
		t.Helper()
		for _, window := range [][2]int{{60, 20}, {80, 24}, {100, 30}, {120, 40}, {160, 50}, {200, 60}, {210, 70}} {
			width, height := window[0], window[1]
			h.resize(width, height)
			h.fits(width, height)
			view := h.app.View()
			for i, text := range append([]string{figure}, words...) {
				wanted := 16.0
				if i == 0 {
					wanted = 20
				}
				if got := minutes(highest(view, text), height); got < wanted {
					t.Errorf("%d by %d: %q is %.1f minutes of arc high, want %.0f:\n%s", width, height, text, got, wanted, view)
				}
			}
		}
	}
	// What to do, the weight that is most wanted and the last peak.
	h.press("down", "enter", "z")
	legible(h.bench().verdict.Word, "42", "31", "MOST", "LAST")
	for _, word := range []string{"PULL 24", "STOP", "SCRAPE", "EXERCISE", "READ AGAIN", "READ LIMBS", "UNSTRING", "LOOK IT OVER",
		"HANDED OVER", "DRYING", "VARNISH 2", "SHOOT IN"} {
		h.bench().verdict.Word = word
		legible(word)
	}
	h.press("20.5", "enter", "31", "enter", "5/16", "enter", "6")
	legible("6_", "UPPER", "8 in", "WAS", "5/8")
	h.press("enter", "6")
	legible("6_", "SURE?")
	h.press("esc", " ")
	legible("0", "HELD", "DRAWN")
}

// An older figure is not shown as if it were of now.
func TestWhatIsStillReckonedIsNotShownAcrossTheShop(t *testing.T) {
	t.Parallel()
	h := atTheBench(t)
	h.press("z")
	word := h.bench().verdict.Word
	if !written(h.app.View(), word, digits.Large) {
		t.Fatalf("%q is missing:\n%s", word, h.app.View())
	}
	h.hold = true
	h.pulls("20.5", "31")
	if view := h.app.View(); written(view, word, digits.Large) || !written(view, "...", digits.Large) || !written(view, "31.0", digits.Large) {
		t.Errorf("a verdict before the last entry is shown:\n%s", view)
	}
}
