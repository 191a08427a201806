package verdict_test

import (
	"encoding/json"
	"io"
	"maps"
	"math"
	"os"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/verdict"
)

// checkAnswer takes the advice of a record: it must be written as a document, and hold no figure that isn't a number.
// A record that makes no bow may be refused.
func checkAnswer(t rapid.TB, rec record.Record) {
	t.Helper()
	a, err := verdict.Of(session.Fold(rec.Description, rec.Items), verdict.Usual(), nil)
	if err != nil {
		return
	}
	if err := a.Write(io.Discard, judge(a)); err != nil {
		t.Error(err)
	}
	if next, ok := a.Next.Get(); ok && next.Force.High > mostAt(a, next.Draw) {
		t.Errorf("the stop line %+v passes the weight wanted, %v", next, a.Wanted)
	}
	figures := slices.Concat(floats(a.Draw), floats(a.Curve), floats(a.Next), floats(a.Tiller), floats(a.Limbs),
		floats(a.Findings), floats(a.Wild))
	for _, v := range figures {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Errorf("a figure is %v in %+v", v, a)
			return
		}
	}
}

// mostAt is what a bow may weigh at a stop line: the weight wanted, and an inch from its order the most that is right.
func mostAt(a verdict.Advice, draw float64) float64 {
	wanted, known := a.Wanted.Get()
	order, ordered := a.Bow.DrawToBelly().Get()
	switch {
	case !known:
		return math.Inf(1)
	case ordered && draw >= float64(order)-1:
		return float64(wanted.Most)
	}
	return float64(wanted.Weight)
}

// Advice never panics and holds only numbers, whatever small record it is asked about: with figures that are
// missing, doubled, scaled or can't be true.
func TestAnyRecordHasAnAnswer(t *testing.T) {
	t.Parallel()
	example, err := os.ReadFile("../../testdata/record/example.json")
	must(t, err)
	rapid.Check(t, func(t *rapid.T) {
		var doc map[string]any
		whole := rapid.SampledFrom([]string{string(example), contradiction}).Draw(t, "record")
		must(t, json.Unmarshal([]byte(whole), &doc))
		for range rapid.IntRange(0, 6).Draw(t, "spoilt") {
			spoil(t, doc)
		}
		spoilt, err := json.Marshal(doc)
		must(t, err)
		if rec, err := record.Parse(spoilt); err == nil { // often what is spoilt is no record
			checkAnswer(t, rec)
		}
	})
}

// spoil changes one thing at random in a document.
func spoil(t *rapid.T, v any) any {
	switch v := v.(type) {
	case map[string]any:
		key := rapid.SampledFrom(slices.Sorted(maps.Keys(v))).Draw(t, "key")
		v[key] = spoil(t, v[key])
	case []any:
		if i := rapid.IntRange(0, len(v)).Draw(t, "place"); i < len(v) {
			v[i] = spoil(t, v[i])
			return v
		}
		return v[:len(v)/2]
	case float64:
		by := rapid.SampledFrom([]float64{0, 0.05, 0.5, 0.9, 1.1, 2, 10, -1}).Draw(t, "by")
		return rapid.SampledFrom([]any{v * by, v * by, nil}).Draw(t, "figure")
	case string:
		return rapid.SampledFrom([]string{v, "osage", "stiff-handle", "lower", "line", "back"}).Draw(t, "text")
	}
	return v
}

// FuzzAdvice asks the same of what a fuzzer makes of the example.
func FuzzAdvice(f *testing.F) {
	example, err := os.ReadFile("../../testdata/record/example.json")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(example)
	f.Fuzz(func(t *testing.T, doc []byte) {
		if len(doc) > 10_000 {
			return
		}
		if rec, err := record.Parse(doc); err == nil {
			checkAnswer(t, rec)
		}
	})
}

// contradiction is a small record of readings that fit no bow: the estimate goes from one limb that cannot be strung to the next.
const contradiction = `{"bow":{"aim":{"bend":"ellipse","stiff_tips":175.311,"tiller_at":0},"handle":0,"id":"any",
 "limbs":{"lower":{"depths":[null,null,44.526,null,18.059],"length":518.16,"stations":[57.573,115.147,172.72,230.293,287.867,345.44,403.013,460.587,518.16],"widths":[null,8.839,22.022,null]},"upper":{"depths":null,"length":863.6,"stations":[],"widths":[]}},"name":"any","order":{"draw":1275.537,"draw_to":"belly","weight":13.5},"readings":{"cradle":"rocking","rule":1.588},"wood":""},
 "entries":[{"kind":"string","length":1848.104},
 {"depth_share":0,"from":52.68,"kind":"scrape","limb":"lower","strokes":145,"to":182.22},
 {"block":{"at":[172.72,388.62],"length":230.581,"lower":[null,2.591],"upper":[2.591]},"from":"string","height":107.95,"kind":"braced","lower":[null,2.994,6.513,10.346,13.03,18.281,null,36.663,null],"upper":[]},
 {"block":{"at":[172.72,388.62],"length":104.496,"lower":[null,2.591],"upper":[2.591]},"from":"string","height":174.447,"kind":"braced","lower":[null],"upper":[]}],"format":"bendbook/record","units":{"force":"lbf","length":"mm"},"version":1}`
