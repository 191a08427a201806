package verdict_test

import (
	"encoding/json"
	"io"
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/verdict"
)

// checkAnswer takes the advice of a record: it must be written as a document, and hold no figure that is no number.
// A record that makes no bow may be refused.
func checkAnswer(t rapid.TB, rec record.Record) {
	t.Helper()
	a, err := verdict.Of(session.Fold(rec.Description, rec.Items), verdict.Usual(), nil)
	if err != nil {
		return
	}
	if err := a.Write(io.Discard); err != nil {
		t.Error(err)
	}
	figures := []float64{a.Draw}
	for _, f := range a.Curve {
		figures = append(figures, f.Force.Low, f.Force.Estimate, f.Force.High, f.Energy.Estimate)
	}
	if next, ok := a.Next.Get(); ok {
		figures = append(figures, next.Draw, next.Force.Estimate, next.Force.High, next.Strain)
		wanted, known := a.Wanted.Get()
		if known && next.Force.High > float64(wanted) {
			t.Errorf("the stop line %+v passes the weight wanted, %v", next, wanted)
		}
	}
	for _, tiller := range a.Tiller {
		figures = append(figures, tiller.Expected.Low, tiller.Expected.High)
	}
	for _, limb := range a.Limbs {
		for i := range limb.At {
			figures = append(figures, limb.Bend[i].Low, limb.Bend[i].High, limb.Deviation[i].Low, limb.Deviation[i].High, limb.Stiffness[i].Low)
		}
		figures = append(figures, limb.Strain...)
	}
	for _, f := range a.Findings {
		figures = append(figures, f.Chance, f.Deviation.Low, f.Deviation.High)
	}
	for _, w := range a.Wild {
		figures = append(figures, w.Off, w.Expected)
	}
	for _, v := range figures {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Errorf("a figure is %v in %+v", v, a)
			return
		}
	}
}

// Advice never panics and holds only numbers, whatever small record it is asked about: bows of any size,
// unequal limbs, none or one station, readings that are missing or can't be true, orders shorter than the brace.
func TestAnyRecordHasAnAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Most often a reading that no such bow can have keeps one from being a record.
		checkAnswer(t, *rapid.Custom(drawRecord).Filter(func(rec *record.Record) bool { return rec != nil }).Draw(t, "record"))
	})
}

// drawRecord is what anyRecord describes; nil where that is no record.
func drawRecord(t *rapid.T) *record.Record {
	doc, err := json.Marshal(anyRecord(t))
	if err != nil {
		t.Fatal(err)
	}
	rec, err := record.Parse(doc)
	if err != nil {
		return nil
	}
	return &rec
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

type object map[string]any

// some is the value, or null one time in four.
func some(t *rapid.T, label string, value any) any {
	if rapid.IntRange(0, 3).Draw(t, label+" missing") == 0 {
		return nil
	}
	return value
}

// number is a number to three decimals.
func number(t *rapid.T, label string, least, most float64) float64 {
	return math.Round(1000*rapid.Float64Range(least, most).Draw(t, label)) / 1000
}

// row is up to n numbers, any of them missing.
func row(t *rapid.T, label string, n int, of func(i int) float64) []any {
	all := []any{}
	for i := range rapid.IntRange(0, n).Draw(t, label+" count") {
		all = append(all, some(t, label, of(i)))
	}
	return all
}

// anyRecord is a record of a bow of any size with a few entries, most of which it may have had.
func anyRecord(t *rapid.T) object {
	unit := rapid.SampledFrom([]string{"in", "cm", "mm"}).Draw(t, "unit")
	per := map[string]float64{"in": 1, "cm": 2.54, "mm": 25.4}[unit]
	length := func(v float64) float64 { return math.Round(v*per*1000) / 1000 }
	size := rapid.SampledFrom([]float64{34, 34, 34, 70, 20, 8, 1}).Draw(t, "size")
	var stations [2][]float64
	limbs, total := object{}, 2*size
	for side, name := range []string{"upper", "lower"} {
		long := size * rapid.SampledFrom([]float64{1, 1, 0.97, 0.6}).Draw(t, name)
		n := rapid.SampledFrom([]int{0, 1, 2, 5, 9}).Draw(t, name+" stations")
		at, sizes := []any{}, object{}
		for i := range n {
			s := long * float64(i+1) / float64(n)
			if i == n-1 {
				s += rapid.SampledFrom([]float64{0, 0, 0.2}).Draw(t, "last station") // past the nock by the rule's error
			}
			stations[side] = append(stations[side], s)
			at = append(at, length(s))
		}
		for _, of := range []string{"widths", "depths"} {
			sizes[of] = some(t, of, row(t, of, n, func(int) float64 { return length(size / 34 * number(t, of, 0.3, 2)) }))
		}
		limbs[name] = object{"length": length(long), "stations": at, "widths": sizes["widths"], "depths": sizes["depths"]}
	}
	readings := func(into object, lift float64) object {
		for side, name := range []string{"upper", "lower"} {
			into[name] = row(t, name, len(stations[side]), func(i int) float64 {
				s := stations[side][i]
				return length(max(lift*s*s/size*number(t, "bend", 0.7, 1.3)+number(t, "off", -0.1, 0.1), 0))
			})
		}
		return into
	}
	entry := func() object {
		switch rapid.IntRange(0, 5).Draw(t, "kind") {
		case 0:
			return readings(object{"kind": "relaxed"}, 0.05)
		case 1:
			return object{"kind": "string", "length": length(total * number(t, "string", 0.9, 1.1))}
		case 2:
			block := some(t, "block", object{
				"length": length(size * number(t, "block", 0.1, 0.3)), "at": []any{length(size * 0.2), length(size * 0.45)},
				"upper": []any{length(size * 0.003)}, "lower": []any{nil, length(size * 0.003)},
			})
			height := some(t, "brace", length(size*number(t, "height", 0.05, 0.3)))
			return readings(object{"kind": "braced", "height": height, "block": block, "from": rapid.SampledFrom([]string{"line", "string"}).Draw(t, "from")}, 0.15)
		case 3:
			from := number(t, "scraped from", 0, 0.4)
			return object{
				"kind": "scrape", "limb": rapid.SampledFrom([]string{"upper", "lower"}).Draw(t, "limb"), "from": length(size * from), "to": length(size * (from + 0.15)),
				"strokes": some(t, "strokes", rapid.IntRange(0, 500).Draw(t, "strokes")), "depth_share": some(t, "share", number(t, "share", 0, 0.99)),
			}
		default:
			share := number(t, "draw", 0.05, 0.9)
			peak := some(t, "peak", number(t, "peak", 0.1, 150))
			return readings(object{"kind": "pull", "draw": length(size * share), "peak": peak, "from": rapid.SampledFrom([]string{"line", "line", "string"}).Draw(t, "from")}, share/2)
		}
	}
	entries := []any{}
	for range rapid.IntRange(0, 6).Draw(t, "entries") {
		entries = append(entries, entry())
	}
	return object{
		"format": record.Format, "version": record.Version, "units": object{"length": unit, "force": "lbf"},
		"bow": object{
			"id": "any", "name": "any", "handle": length(size * number(t, "handle", 0, 0.3)), "limbs": limbs,
			"wood":  rapid.SampledFrom([]string{"", "ash", "osage", "driftwood"}).Draw(t, "wood"),
			"order": object{"draw": some(t, "order", length(size*number(t, "ordered draw", 0.02, 1.5))), "weight": some(t, "weight", number(t, "weight", 1, 150)), "draw_to": "belly"},
			"aim": object{
				"bend":       rapid.SampledFrom([]string{"compass", "ellipse", "stiff-handle", "Wren's", "as Oak"}).Draw(t, "aim"),
				"stiff_tips": length(size * number(t, "stiff tips", 0, 0.9)), "tiller_at": length(size * 0.6 * number(t, "tiller at", 0, 1)),
			},
			"readings": object{"rule": some(t, "rule", length(1.0/16)), "cradle": rapid.SampledFrom([]string{"clamped", "rocking"}).Draw(t, "cradle")},
		},
		"entries": entries,
	}
}

// contradiction is a small record of readings that fit no bow: the estimate goes from one limb that cannot be strung to the next.
const contradiction = `{"bow":{"aim":{"bend":"ellipse","stiff_tips":175.311,"tiller_at":0},"handle":0,"id":"any",
 "limbs":{"lower":{"depths":[null,null,44.526,null,18.059],"length":518.16,"stations":[57.573,115.147,172.72,230.293,287.867,345.44,403.013,460.587,518.16],"widths":[null,8.839,22.022,null]},"upper":{"depths":null,"length":863.6,"stations":[],"widths":[]}},"name":"any","order":{"draw":1275.537,"draw_to":"belly","weight":13.5},"readings":{"cradle":"rocking","rule":1.588},"wood":""},
 "entries":[{"kind":"string","length":1848.104},
 {"depth_share":0,"from":52.68,"kind":"scrape","limb":"lower","strokes":145,"to":182.22},
 {"block":{"at":[172.72,388.62],"length":230.581,"lower":[null,2.591],"upper":[2.591]},"from":"string","height":107.95,"kind":"braced","lower":[null,2.994,6.513,10.346,13.03,18.281,null,36.663,null],"upper":[]},
 {"block":{"at":[172.72,388.62],"length":104.496,"lower":[null,2.591],"upper":[2.591]},"from":"string","height":174.447,"kind":"braced","lower":[null],"upper":[]}],"format":"bendbook/record","units":{"force":"lbf","length":"mm"},"version":1}`

// BenchmarkContradiction is the advice of a record that sends the estimate from one bow that cannot be strung to the next.
func BenchmarkContradiction(b *testing.B) {
	rec, err := record.Parse([]byte(contradiction))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if err := verdict.Write(io.Discard, rec, nil); err != nil {
			b.Fatal(err)
		}
	}
}
