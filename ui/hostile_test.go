package ui

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"bendbook/model/plain"
	"bendbook/session/shop"
	"bendbook/ui/look"
)

// nasty is text that would steer a terminal or turn the direction of writing if it were shown as it is.
const nasty = "\x1b]0;owned\a\x1b[2J\u009b31m\u202egnp\u2066\u200b\x00\r\n\t\u2028\U000e0041"

// rendition are the sequences by which our own screens show weight and colour.
var rendition = regexp.MustCompile("\x1b\\[[0-9;]*m")

// On no screen does strangers' text reach the terminal raw, wherever in the book it stands.
func TestNoScreenShowsStrangersTextRaw(t *testing.T) {
	t.Parallel()
	quoted, err := json.Marshal(nasty)
	if err != nil {
		t.Fatal(err)
	}
	doc := strings.NewReplacer("N", string(quoted), "M", string(quoted[1:len(quoted)-1])).Replace(`{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},` +
		`"bow":{"id":"1","name":"oak M","wood":N,"number":"7M","limbs":{"upper":{"length":34,"stations":[6,16,28]},"lower":{"length":33,"stations":[6,16,28]}},` +
		`"order":{"for":N,"notes":N,"draw":28,"weight":40}},"entries":[{"id":"pM","at":"2027-01-10T09:00:00Z","kind":"pull","draw":18,"peak":21.4,"upper":[1],"lower":[1]},` +
		`{"kind":"scrape","limb":"upper","from":4,"to":12,"tool":N},{"kind":"pull","draw":20,"peak":25},{"kind":"finish","step":N,"text":N},{"kind":"finish","step":"marked","text":N},` +
		`{"kind":"note","text":N},{"kind":"new M","text":N},{"kind":"rack","in_hand":false,"why":N},{"id":"v","kind":"void","entry":"pM","why":N},{"kind":"void","entry":"v","why":N},` +
		`{"kind":"rack","in_hand":true,"why":N},{"kind":"bow","set":{"wood":"M2"}}]}`)
	for _, keys := range [][]string{
		{}, {"t"}, {" ", "c"}, {"d"}, {"m"}, {"f"}, {"f", "o"}, {"f", "h"}, {"f", "h", "m"}, {"enter"}, {"enter", "?"}, {"enter", "t"}, {"enter", "e"}, {"enter", "e", "up", "up"},
		{"enter", "e", "x"}, {"enter", "a"}, {"enter", "g"}, {"enter", "u"}, {"enter", "s", "u", "enter", "4", "enter", "12", "enter"}, {"enter", "n", nasty}, {"/", nasty},
		{"enter", "w"}, {"enter", "w", "w"}, {"enter", "w", "m"}, {"enter", "w", "m", "m"}, {"enter", "w", "m", "m", "m"}, {"enter", "w", "m", "m", "m", "m"},
		{"n", nasty, "enter"}, {"n", nasty, "enter", "enter", "x", "enter"}, {"enter", "p", nasty, "enter"},
	} {
		h := sit(t, look.NoColour, false, 120, 40)
		if err := h.shop.Import(strings.NewReader(doc), func(shop.Imported) {}); err != nil {
			t.Fatal(err)
		}
		h.open(look.NoColour, 120, 40)
		h.press(keys...)
		for _, scroll := range []string{"", "pgdown", "end"} {
			h.press(scroll)
			for _, r := range rendition.ReplaceAllString(h.app.View(), "") {
				if r != '\n' && r != ' ' && plain.Line(string(r)) != string(r) {
					t.Fatalf("after %q the screen holds %U:\n%q", keys, r, h.app.View())
				}
			}
		}
		for name := range h.saved {
			if strings.Trim(name, "abcdefghijklmnopqrstuvwxyz0123456789-.") != "" {
				t.Errorf("a file is called %q", name)
			}
		}
	}
}
