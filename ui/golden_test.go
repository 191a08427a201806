package ui

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/ui/look"
)

var update = flag.Bool("update", false, "write the golden screens anew")

// views are the screens that golden files show, each by the keys that lead to it from the rack.
var views = []struct {
	name  string
	empty bool // in an empty book instead of the demo shop
	// metric: the shop works in centimetres and kilograms, though the bow is kept in inches and pounds.
	metric bool
	keys   []string
}{
	{name: "rack"},
	{name: "rack-empty", empty: true},
	{name: "rack-find", keys: []string{"/", "ash"}},
	{name: "rack-half-typed", keys: []string{"down", "d", "x", "enter", "esc"}},
	{name: "bench-half-typed", keys: []string{"down", "enter", "d", "x", "enter", "esc", "20", "enter", "esc", "esc", "enter"}},
	{name: "bench", keys: []string{"down", "enter"}},
	{name: "bench-braced", keys: []string{"enter", "tab", "tab"}},
	{name: "bench-bend", keys: []string{"down", "enter", "v"}},
	{name: "bench-overlay", keys: []string{"enter", "o"}},
	{name: "bench-earlier", keys: []string{"enter", "left", "left"}},
	{name: "bench-unread", keys: []string{"n", "Rowan", "enter", "enter", "enter", "enter", "enter", "enter", "enter", "enter", "enter", "enter",
		"enter", "enter", "enter", "34", "enter", "33", "ctrl+s"}},
	{name: "bench-help", keys: []string{"enter", "?"}},
	{name: "pull", keys: []string{"down", "enter", "20", "enter", "32.9", "enter", "5/16", "enter", "6-1/8"}},
	{name: "pull-other-unit", keys: []string{"down", "enter", "20", "enter", "32.9", "enter", "5/16", "enter", "162mm"}},
	{name: "metric-bench", metric: true, keys: []string{"down", "enter"}},
	{name: "metric-pull", metric: true, keys: []string{"down", "enter", "51", "enter", "15.1", "enter", "0.8", "enter", "6 1/8in"}},
	{name: "metric-describe", metric: true, keys: []string{"d", "down", "down", "down", "down"}},
	{name: "metric-advice", metric: true, keys: []string{"down", "enter", "a"}},
	{name: "pull-refused", keys: []string{"down", "enter", "20", "enter", "32.9", "enter", "abc", "enter"}},
	{name: "pull-asked", keys: []string{"down", "enter", "20", "enter", "32.9", "enter", "1 5/16", "enter"}},
	{name: "hold", keys: []string{"down", "enter", " "}},
	{name: "pull-held", keys: []string{"down", "enter", " ", "2"}},
	{name: "across", keys: []string{"down", "enter", "z"}},
	{name: "across-pull", keys: []string{"down", "enter", "z", "20", "enter", "32.9", "enter", "5/16", "enter", "6-1/8"}},
	{name: "across-other-unit", keys: []string{"down", "enter", "z", "20", "enter", "14.9kg"}},
	{name: "across-asked", keys: []string{"down", "enter", "z", "20", "enter", "32.9", "enter", "1 5/16", "enter"}},
	{name: "pull-help", keys: []string{"down", "enter", "p", "?"}},
	{name: "scrape", keys: []string{"enter", "s", "2", "enter", "10"}},
	{name: "measure", keys: []string{"down", "enter", "m", "0.87", "enter", "1.2", "enter", "0.84", "enter", "1.19", "enter", "0.48", "enter"}},
	{name: "note", keys: []string{"enter", "n", "Little left to take; from here an inch at a time, and the customer comes on Friday to look."}},
	{name: "new-bow", empty: true, keys: []string{"n", "Rowan", "enter"}},
	{name: "describe", keys: []string{"d"}},
	{name: "block", keys: []string{"down", "enter", "k", "enter", "enter", "0.13", "enter"}},
	{name: "advice", keys: []string{"down", "enter", "a"}},
	{name: "plan", keys: []string{"down", "enter", "g"}},
	{name: "plan-changed", keys: []string{"down", "enter", "g", "up", "4", "5"}},
	{name: "plan-metric", keys: []string{"/", "odile", "enter", "g"}},
	{name: "plan-logged", keys: []string{"down", "enter", "g", "d", "d"}},
	{name: "story", keys: []string{"down", "enter", "t"}},
	{name: "story-bend", keys: []string{"down", "enter", "t", "left", "left", "v"}},
	{name: "entries", keys: []string{"enter", "e", "down"}},
	{name: "void", keys: []string{"enter", "e", "down", "x", "rule held at the wrong mark"}},
	{name: "summary", keys: []string{"enter", "w"}},
	{name: "finish", keys: []string{"down", "down", "down", "f"}},
	{name: "finish-coat", keys: []string{"f", "down", "down", "down", "down", "down", "down", "enter", "enter", "down"}},
	{name: "checks", keys: []string{"f", "o"}},
	{name: "card", keys: []string{"down", "down", "down", "f", "h"}},
	{name: "today", keys: []string{"t"}},
	{name: "settings", keys: []string{"s"}},
	{name: "settings-stage", keys: []string{"s", "pgdown", "pgdown", "enter", "enter"}},
	{name: "settings-refused", keys: []string{"s", "down", "down", "down", "down", "down", "down", "down", "enter", "backspace", "0", "enter"}},
	{name: "compare", keys: []string{" ", " ", "c"}},
	{name: "like", keys: []string{"down", "down", "down", "m"}},
	{name: "weigh", keys: []string{"f", "w"}},
	{name: "moisture", keys: []string{"f", "a"}},
	{name: "summary-markdown", keys: []string{"enter", "w", "m", "pgdown"}},
	{name: "summary-page", keys: []string{"enter", "w", "m", "m"}},
	{name: "summary-table", keys: []string{"enter", "w", "m", "m", "m"}},
}

// sizes are the windows that golden files show; the first is the least one.
var sizes = [][2]int{{leastWidth, leastHeight}, {80, 24}, {120, 40}, {200, 60}}

// Each view is opened once, at 80 by 24, and then drawn for every window and every kind of terminal. What differs between
// kinds stands in its file once; see pictures.
func TestScreensLookAsTheyDid(t *testing.T) {
	for _, view := range views {
		t.Run(view.name, func(t *testing.T) {
			h := sit(t, look.NoColour, !view.empty, 80, 24)
			if view.metric {
				settings := finish.Usual()
				settings.Units = measure.Units{Length: measure.Centimetre, Force: measure.KilogramForce}
				if err := h.shop.KeepSettings(settings); err != nil {
					t.Fatal(err)
				}
				h.open(look.NoColour, 80, 24)
			}
			h.press(view.keys...)
			golden(t, filepath.Join("testdata", view.name+".txt"), h.pictures(asciiOnly))
		})
	}
}

func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != got {
		t.Errorf("%s differs; go test ./ui -run Look -update writes it anew. %s", file, firstDifference(string(want), got))
	}
}
