package ui

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"
	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/ui/look"
)

func TestRunsFromRightToLeftAreClosed(t *testing.T) {
	t.Parallel()
	const m = leftToRight
	for text, want := range map[string]string{
		"Ash for Wren  28":           "Ash for Wren  28",
		"אלון ליעל  28 in":           "אלון ליעל" + m + "  28 in",
		"קשת 12":                     "קשת" + m + " 12",
		"for יעל, due":               "for יעל" + m + ", due",
		"\x1b[1mקשת טובה\x1b[0m   7": "\x1b[1mקשת טובה" + m + "\x1b[0m   7",
		"قَوْس\nnext":                "قَوْس" + m + "\nnext",
		"קשת ─────":                  "קשת" + m + " ─────",
		"קשת":                        "קשת" + m,
	} {
		if got := steady(text); got != want {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
	}
}

// Marks are all that is added, and none of them takes room.
func TestClosingRunsAddsNothingThatIsSeen(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.SampledFrom([]rune("אבָ قو aZ19 .,\n│—弓\x1b[0m"))).Draw(t, "text")
		if got := steady(text); strings.ReplaceAll(got, leftToRight, "") != text || ansi.StringWidth(got) != ansi.StringWidth(text) {
			t.Fatalf("%q became %q", text, got)
		}
	})
}

// worldly are names whose letters are wide, combine, or run from right to left.
var worldly = []struct{ name, whose, wood string }{
	{"אלון ליעל", "יעל בר", "אלון"},
	{"قوس ياسمين", "ياسمين", "زان"},
	{"大和の長い弓、練習用", "田中", "竹"},
	{"E\u0301owyn, n\u0303andu\u0301", "Zoe\u0308", "e\u0301rable"},
	{"धनुष", "मीरा", "बांस"},
}

// abroad is a shop whose bows have such names.
func abroad(t testing.TB) *hands {
	t.Helper()
	h := handsOn(t)
	stations := []measure.Length{6, 8, 12, 16, 20, 24, 28, 32}
	for i, of := range worldly {
		var limb []measure.Optional[measure.Length]
		for _, at := range stations {
			limb = append(limb, measure.Some(measure.Length(int(16*at*at/100))/16))
		}
		h.clock = h.clock.Add(3 * time.Minute)
		h.newBow(model.Bow{Name: of.name, Wood: of.wood, Number: fmt.Sprintf("7-%d", i), Limbs: limbs(stations...),
			Order: model.Order{For: of.whose, Weight: measure.Some[measure.Force](40), Draw: measure.Some[measure.Length](28),
				Due: model.Day(fmt.Sprintf("2027-03-0%d", i+1))},
		},
			model.Pull{Draw: 16, Peak: measure.Some[measure.Force](20), From: model.FromLine, Readings: model.Readings{limb, limb}},
			model.Scrape{Limb: model.Upper, From: 8, To: 16, Tool: of.wood},
			model.Note{Text: of.whose + " 40 lb, " + of.name})
	}
	h.open(look.NoColour, 80, 24)
	return h
}
