package ui

import (
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"bendbook/session/shop"
)

// measuredAsh is a bow whose widths and depths are known at its stations, 1.5 in wide and from 0.9 in deep at the root; under 5/8 of the width at the last.
const measuredAsh = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"ash-1","name":"Measured ash","wood":"ash","handle":4,"section":"D","handle_depth":1.25,` +
	`"limbs":{"upper":{"length":34,"stations":[6,16,28],"widths":[1.3,1.2,0.9],"depths":[0.92,0.8,0.5]},"lower":{"length":34,"stations":[6,16,28],"widths":[1.3,1.2,0.9],"depths":[0.92,0.8,0.6]}},` +
	`"order":{"draw":28,"weight":60},"readings":{"rule":0.0625,"scale":0.1}},"entries":[{"kind":"braced","height":6},{"kind":"pull","draw":20,"peak":40},{"kind":"pull","draw":24,"peak":50}]}`

// Strain is told at each station of both limbs, with the wood's usual limit and its source, and beside it what breaks the longbow's rule.
func TestStrainStandsBesideTheWoodsLimit(t *testing.T) {
	t.Parallel()
	clock := time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC)
	h := shopOf(t, 1, &clock)
	if err := h.shop.Import(strings.NewReader(measuredAsh), func(shop.Imported) {}); err != nil {
		t.Fatal(err)
	}
	h.app.top().(*rack).returned()
	h.press("f", "o")
	h.reads("the upper limb at 28 in has 0.56 of it (0.500 of 0.900 in)", "ash, white is said to stand 0.80 to 1.00 % (from memory, not sure): a caution, never a licence.",
		"Draw: 28 in to the belly, as the tree shows it; 29 1/4 in to the back; 29 3/4 in published trade length", "String: 69 in between the loops for 72 in nock to nock")
	screen := h.app.View()
	for _, limb := range []string{"upper", "lower"} {
		found := regexp.MustCompile(limb + ` limb, % at in: 6: ([\d.]+)!?  16: ([\d.]+)!?  28: ([\d.]+)`).FindStringSubmatch(screen)
		if found == nil {
			t.Fatalf("no strain of the %s limb:\n%s", limb, screen)
		}
		for _, text := range found[1:] {
			// A bow of an inch of depth at most, drawn 28 in, bends to no less than a radius of 25 in anywhere: half a depth over that is 2 %.
			if strain, err := strconv.ParseFloat(text, 64); err != nil || strain <= 0 || strain > 2 {
				t.Errorf("%s limb: %s %%", limb, text)
			}
		}
	}
}
