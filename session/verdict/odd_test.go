package verdict_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session/verdict"
)

// odd is the advice of a bow of 72 in with the given units, order and entries; its last station is at the given
// place of the upper limb.
func odd(t *testing.T, length, order, last, entries string) verdict.Advice {
	t.Helper()
	limb := map[string]float64{"in": 34, "cm": 86.4}[length]
	rec, err := record.Parse(fmt.Appendf(nil, `{"format": "bendbook/record", "version": 1,
		"units": {"length": %q, "force": "lbf"}, "bow": {"id": "b", "name": "n", "handle": %v, "handle_depth": %v,
		"order": {%s}, "limbs": {"upper": {"length": %v, "stations": [%v, %s]},
		"lower": {"length": %v, "stations": [%v]}}}, "entries": [%s]}`,
		length, limb/8, limb/30, order, limb, limb/2, last, limb, limb/2, entries))
	must(t, err)
	return of(t, rec)
}

// An order shorter than the brace says nothing of the stave, and is no reason to say nothing.
func TestAnOrderShorterThanTheBraceIsAnswered(t *testing.T) {
	a := odd(t, "in", `"draw": 4`, "34",
		`{"kind": "braced", "height": 6}, {"kind": "pull", "draw": 14, "peak": 15}`)
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

// The stop line of a bow that may be drawn to its order is the order, in centimetres too, and drawing to it is
// not beyond it.
func TestTheStopLineReachesAMetricOrder(t *testing.T) {
	a := odd(t, "cm", `"draw": 62.3, "draw_to": "back"`, "86.4", `{"kind": "braced", "height": 15.2},
		{"kind": "pull", "draw": 56, "peak": 30}, {"kind": "pull", "draw": 59.42, "peak": 32}`)
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
	a := odd(t, "cm", "", "86.4",
		`{"kind": "bow", "set": {"aim": {"tiller_at": 20.3}}}, {"kind": "braced", "height": 15.2}`)
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
	if len(a.Wild) < 10 || len(a.Cautions) > 8 ||
		!strings.Contains(strings.Join(a.Cautions, "\n"), "more readings of this pass look wrong") {
		t.Errorf("%d out of place: %q", len(a.Wild), a.Cautions)
	}
}

// A shop that works in centimetres has its places and steps in round ones.
func TestAMetricShopHasRoundFigures(t *testing.T) {
	a := of(t, shop(t)["Elm for Odile"])
	cm := func(l float64) float64 { return measure.Length(l).In(measure.Centimetre) }
	round := func(l, of float64) bool { return math.Abs(math.Remainder(cm(l), of)) < 1e-6 }
	var at []string
	for _, tiller := range a.Tiller {
		at = append(at, fmt.Sprintf("%.3f", cm(tiller.At)))
	}
	if got := strings.Join(at, " "); got != "15.000 20.000 30.000" {
		t.Errorf("tiller is told at %s cm", got)
	}
	if next, ok := a.Next.Get(); !ok || !round(next.Draw, 0.5) {
		t.Errorf("the next pull goes to %v cm", cm(next.Draw))
	}
	for _, point := range a.Curve[:len(a.Curve)-1] {
		if !round(point.Draw, 2.5) {
			t.Errorf("the curve has %v cm", cm(point.Draw))
		}
	}
	free := odd(t, "cm", `"draw": 71`, "86.4",
		`{"kind": "braced", "height": 15.2}, {"kind": "pull", "draw": 35, "peak": 15}`)
	if next, _ := free.Next.Get(); math.Abs(cm(next.Draw)-40) > 1e-6 ||
		next.Because != "5 cm beyond the longest so far" {
		t.Errorf("after 35 cm the next pull goes to %v cm: %s", cm(next.Draw), next.Because)
	}
	for _, u := range free.Unsure {
		if !strings.Contains(free.SayMeasure(u), " under a 15 cm block at ") {
			t.Errorf("it asks for %q", free.SayMeasure(u))
		}
	}
}

// No block is asked for that stands out past the nock.
func TestNoBlockIsAskedForPastTheNock(t *testing.T) {
	places := regexp.MustCompile(`block at ([0-9., and]+) cm`)
	a := odd(t, "cm", `"draw": 28`, "86.4",
		`{"kind": "braced", "height": 6}, {"kind": "bow", "set": {"aim": {"stiff_tips": 0}}}`)
	if len(a.Unsure) == 0 {
		t.Fatal("a bow that was hardly read is sure")
	}
	for _, u := range a.Unsure {
		match := places.FindStringSubmatch(a.SayMeasure(u))
		if match == nil {
			t.Fatalf("it says %q", a.SayMeasure(u))
		}
		for _, text := range strings.Split(strings.ReplaceAll(match[1], " and ", ", "), ", ") {
			at, err := strconv.ParseFloat(text, 64)
			must(t, err)
			if at < 7.5 || at+7.5 > 86.4 {
				t.Errorf("a block of 15 cm at %v cm of 86.4", at)
			}
		}
	}
}

// A scraping of no strokes took nothing, which is not the same as one whose strokes were not counted.
func TestNoStrokesTakeNothing(t *testing.T) {
	weight := func(scrape string) float64 {
		a := odd(t, "in", `"draw": 28`, "34", `{"kind": "braced", "height": 6},
			{"kind": "pull", "draw": 20, "peak": 30}, {"kind": "pull", "draw": 24, "peak": 37},
			{"kind": "scrape", "limb": "upper", "from": 4, "to": 30, `+scrape+`}`)
		return a.Weight.Or(estimate.Forecast{}).Force.Estimate
	}
	uncounted := weight(`"tool": "scraper"`)
	for _, nothing := range []string{`"strokes": 0`, `"depth_share": 0`, `"depth": 0`, `"depth_share": 0, "strokes": 20`} {
		if w := weight(nothing); w < 1.01*uncounted {
			t.Errorf("after a scraping of %s it weighs %v, of unknown strokes %v", nothing, w, uncounted)
		}
	}
}

// A pull beyond a line that the weight set is warned of, though its peak was within what is wanted; one to the
// line is not.
func TestAPullBeyondItsStopLineIsWarnedOf(t *testing.T) {
	const before = `{"kind": "braced", "height": 6}, {"kind": "pull", "draw": 18, "peak": 30},
		{"kind": "pull", "draw": 20, "peak": 34.2}`
	line, _ := odd(t, "in", `"draw": 28, "weight": 34`, "34", before).Next.Get()
	if line.Draw < 20 || line.Draw > 21 {
		t.Fatalf("the line is %+v", line)
	}
	said := func(draw, peak float64) string {
		a := odd(t, "in", `"draw": 28, "weight": 34`, "34",
			fmt.Sprintf(`%s, {"kind": "pull", "draw": %v, "peak": %v}`, before, draw, peak))
		return strings.Join(a.Cautions, "\n")
	}
	if text := said(line.Draw, 35); strings.Contains(text, "stop line") {
		t.Errorf("to the line: %s", text)
	}
	if text := said(line.Draw+0.5, 35.5); !strings.Contains(text, "went beyond the stop line of") ||
		!strings.Contains(text, "that the weight wanted on the tree had set") {
		t.Errorf("beyond it: %s", text)
	}
	if text := said(line.Draw+0.5, 37.5); !strings.Contains(text, "more than 36.7 lb, the most you want") ||
		strings.Contains(text, "stop line of") {
		t.Errorf("beyond the weight: %s", text)
	}
}

// The finished bow's own peak is told, not an estimate of before it was sanded; a scraping makes it void.
func TestTheWeightOfAFinishedBowIsItsPeak(t *testing.T) {
	for entries, want := range map[string]measure.Optional[measure.Force]{
		`%s, %s`: pounds(35), `%[2]s`: {}, `%s, %s, {"kind": "scrape", "limb": "upper", "from": 4, "to": 30}`: {},
	} {
		a := odd(t, "in", `"draw": 28`, "34", `{"kind": "braced", "height": 6}, `+fmt.Sprintf(entries,
			`{"kind": "finish", "step": "sanded"}`, `{"kind": "pull", "draw": 28, "peak": 35}`))
		if a.Weighed != want {
			t.Errorf("after %s it is weighed as finished at %+v", entries, a.Weighed)
		}
	}
}

// Dry lumber is 0.1108% less stiff for each °F above 70 (Wood Handbook, FPL-GTR-190, table 5-16).
func TestAWeighingInAColdShopIsToldWarm(t *testing.T) {
	told := func(fahrenheit float64, day int) string {
		a := odd(t, "in", `"draw": 28, "weight": 35`, "34", fmt.Sprintf(`
			{"kind": "finish", "step": "sanded", "at": "2027-02-01T08:00:00Z"},
			{"kind": "moisture", "where": "shop", "celsius": %g, "at": "2027-02-01T08:00:00Z"},
			{"kind": "pull", "draw": 28, "peak": 40, "at": "2027-02-%02dT09:00:00Z"}`, (fahrenheit-32)/1.8, day))
		return strings.Join(finishing(a, a.Story().LastAt().UTC()).SayWhen(), "; ")
	}
	for fahrenheit, want := range map[float64]string{40: "weighed at 40 F: 38.7 lb at 70 F",
		90: "weighed at 90 F: 40.9 lb at 70 F"} {
		if got := told(fahrenheit, 1); !strings.Contains(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := told(64, 1) + told(40, 2); strings.Contains(got, "weighed") {
		t.Errorf("a warm shop, or the air of another day: %q", got)
	}
}

// One side scraped may move the string; what came off there is none of the thickness.
func TestASideScrapedAsksHowTheStringRuns(t *testing.T) {
	for face, asks := range map[string]bool{"": false, "left": true, "right": true, "sides": false, "facets": false} {
		a := odd(t, "in", `"draw": 28, "weight": 35`, "34", fmt.Sprintf(`
			{"kind": "pull", "draw": 14, "peak": 15, "upper": [1.5, 6]}, {"kind": "track", "offset": 0},
			{"kind": "scrape", "limb": "upper", "from": 8, "to": 20, "depth": 0.05, "face": %q}`, face))
		if v := judge(a); asks != (v.Word == "TRACK?") {
			t.Errorf("%q scraped, the verdict is %+v", face, v)
		}
	}
}
