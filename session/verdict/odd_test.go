package verdict_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bendbook/model/record"
	"bendbook/session/verdict"
)

// odd is the advice of a bow of 72 in with the given units, order and entries; its last station is at the given place of the upper limb.
func odd(t *testing.T, length, order, last, entries string) verdict.Advice {
	t.Helper()
	limb := map[string]float64{"in": 34, "cm": 86.4}[length]
	rec, err := record.Parse(fmt.Appendf(nil, `{"format": "bendbook/record", "version": 1, "units": {"length": %q, "force": "lbf"}, "bow": {"id": "b", "name": "n",
		"handle": %v, "handle_depth": %v, "order": {%s}, "limbs": {"upper": {"length": %v, "stations": [%v, %s]}, "lower": {"length": %v, "stations": [%v]}}}, "entries": [%s]}`,
		length, limb/8, limb/30, order, limb, limb/2, last, limb, limb/2, entries))
	if err != nil {
		t.Fatal(err)
	}
	return of(t, rec)
}

// An order shorter than the brace says nothing of the stave, and is no reason to say nothing.
func TestAnOrderShorterThanTheBraceIsAnswered(t *testing.T) {
	a := odd(t, "in", `"draw": 4`, "34", `{"kind": "braced", "height": 6}, {"kind": "pull", "draw": 14, "peak": 15}`)
	if next, ok := a.Next.Get(); !ok || next.Draw > 4 {
		t.Errorf("the stop line is %+v, %v", next, ok)
	}
}

// Without order and pull, bend is shown at a draw that the bow can have.
func TestWithoutOrderAndPullBendIsShownAtTheUsualDraw(t *testing.T) {
	a := odd(t, "in", "", "34", `{"kind": "braced", "height": 6}`)
	if a.Draw < 20 || len(a.Limbs[0].Bend) != 2 {
		t.Errorf("shown at %v: %+v", a.Draw, a.Limbs[0].Bend)
	}
}

// A station past the nock by less than the rule's error is at the nock, and its pass counts.
func TestAStationJustPastTheNockIsAtTheNock(t *testing.T) {
	pass := `{"kind": "braced", "height": 6}, {"kind": "pull", "draw": 14, "peak": 15, "upper": [1.5, 6]}`
	at, past := odd(t, "in", `"draw": 28`, "34", pass), odd(t, "in", `"draw": 28`, "34.2", pass)
	w, ok := at.Weight.Get()
	if v, known := past.Weight.Get(); !ok || !known || v != w {
		t.Errorf("at the nock %+v, past it %+v; %q", w, v, past.Cautions)
	}
}

// The stop line of a bow that may be drawn to its order is the order, in centimetres too, and drawing to it is not beyond it.
func TestTheStopLineReachesAMetricOrder(t *testing.T) {
	a := odd(t, "cm", `"draw": 62.3, "draw_to": "back"`, "86.4", `{"kind": "braced", "height": 15.2}, {"kind": "pull", "draw": 56, "peak": 30}, {"kind": "pull", "draw": 59.42, "peak": 32}`)
	order := float64(a.Bow.DrawToBelly().Or(0))
	if next, _ := a.Next.Get(); math.Abs(next.Draw-order) > 1e-9 {
		t.Errorf("the stop line is %v for an order of %v", next.Draw, order)
	}
	if said := strings.Join(a.Cautions, "\n"); strings.Contains(said, "beyond the ordered draw") {
		t.Errorf("drawn to the order, it says %q", said)
	}
}

// A tiller that is wanted at 20.3 cm is not told again at 8 in.
func TestTheTillerIsToldOnceAtAPlace(t *testing.T) {
	a := odd(t, "cm", "", "86.4", `{"kind": "bow", "set": {"aim": {"tiller_at": 20.3}}}, {"kind": "braced", "height": 15.2}`)
	if len(a.Tiller) != 3 {
		t.Errorf("%+v", a.Tiller)
	}
}

// Readings that fit no bow do not fill the cautions, however many they are.
func TestManyWildReadingsAreToldInFewCautions(t *testing.T) {
	entries := []string{`{"kind": "braced", "height": 6}`}
	for i := range 40 {
		draw, off := 12+float64(i%10), 0.0
		if i%3 == 0 {
			off = 10
		}
		entries = append(entries, fmt.Sprintf(`{"kind": "pull", "draw": %v, "peak": %v}`, draw, 2*(draw-6)+off))
	}
	a := odd(t, "in", `"draw": 28`, "34", strings.Join(entries, ", "))
	if len(a.Wild) < 10 || len(a.Cautions) > 8 || !strings.Contains(strings.Join(a.Cautions, "\n"), "more readings of this pass are out of place") {
		t.Errorf("%d out of place: %q", len(a.Wild), a.Cautions)
	}
}
