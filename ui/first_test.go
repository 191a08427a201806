package ui

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"

	"bendbook/ui/look"
)

// Who reads nothing but the line that is lit comes from an empty book to the first pull by these keys: a name, and the length of the
// bow; the order too, if there is one.
func TestAnEmptyBookLeadsToTheFirstPullInFewKeys(t *testing.T) {
	t.Parallel()
	for order, c := range map[string]struct {
		keys []string
		most int
		see  string
	}{
		"none":  {[]string{"Ash", "ctrl+s", "72", "enter"}, 16, "Ash"},
		"given": {[]string{"Ash", "enter", "Wren", "enter", "enter", "72", "enter", "28", "enter", "1", "enter", "40", "ctrl+s"}, 40, "Ash · 40 lb at 28 in to the belly"},
	} {
		h := sit(t, look.NoColour, false, 80, 24)
		keys := 0
		press := func(texts ...string) { keys += h.strokes(texts...) }
		h.see("The book is empty. Enter describes the first bow")
		press("enter")
		h.see("Only needed: name, nock to nock. ctrl+s saves, with the rest as usual.", "1 of 9")
		press(c.keys[:2]...)
		if order == "none" {
			h.see("FIRST: nock to nock is needed", "Enter then saves", "enter save")
		}
		press(c.keys[2:]...)
		h.see("Enter or a digit begins the first pull.", c.see)
		press("12")
		h.see("Ash · Pull", "1 of 18", "PULL  draw")
		press("enter", "20", "enter")
		h.see("* save now")
		press("*")
		h.see("FIRST: which string: 1 long, 2 braced", "Enter alone: long")
		press("enter")
		h.see("pull to 12 in: 20.0 lb, on the long string.")
		t.Logf("order %s: %d keys", order, keys)
		if keys > c.most {
			t.Errorf("order %s: the first pull is saved by key %d, want %d at most", order, keys, c.most)
		}
	}
}

// Who wanted to save and was asked, or told what is needed, has saved once that is answered.
func TestEnterSavesWhereSavingWasAskedAboutOnce(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		keys []string
		want string
	}{
		"kept as it is":   {[]string{"enter"}, "Saved 09:00: pull to 12 in: 90.0 lb, on the long string."},
		"corrected":       {[]string{"backspace", "backspace", "20", "enter"}, "Saved 09:00: pull to 12 in: 20.0 lb, on the long string."},
		"asked again":     {[]string{"backspace", "backspace", "80", "enter", "enter"}, "Saved 09:00: pull to 12 in: 80.0 lb, on the long string."},
		"refused between": {[]string{"x", "enter", "backspace", "20", "enter"}, "Saved 09:00: pull to 12 in: 20.0 lb, on the long string."},
		"gone elsewhere":  {[]string{"up", "enter", "enter"}, "UPPER LIMB  6 in"},
	} {
		t.Run(name, func(t *testing.T) {
			h := sit(t, look.NoColour, false, 80, 24)
			h.press("enter", "Ash", "ctrl+s", "72", "enter", "d")
			for !strings.Contains(ansi.Strip(h.app.View()), "ORDER  weight") {
				h.press("down")
			}
			h.press("40", "ctrl+s").answers("12")
			h.press("90", "ctrl+s")
			h.see("FIRST: which string")
			h.press("enter")
			h.see("SURE?", "again to keep, and save", "enter save")
			h.press(c.keys...)
			h.see(c.want)
		})
	}
}
