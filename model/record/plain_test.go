package record

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
)

// heldAgainstTheDecoder fails where the short way makes something else of an entry than the decoder does. It says whether the short way was taken.
func heldAgainstTheDecoder(t interface{ Fatalf(string, ...any) }, doc string, units measure.Units) bool {
	got, ok := parsePlain([]byte(doc), reader{units})
	if !ok {
		return false
	}
	want, err := parseAny(json.RawMessage(doc), units)
	if err != nil {
		t.Fatalf("%s: the short way takes it; the decoder says %v", doc, err)
	}
	if !reflect.DeepEqual(got, want) {
		t.Fatalf("%s: got\n%+v\nthe decoder has\n%+v", doc, got, want)
	}
	return true
}

// TestThePlainWayReadsWhatTheDecoderReads puts entries together of fields that are right and of some that are not, in their order and out of it.
func TestThePlainWayReadsWhatTheDecoderReads(t *testing.T) {
	value := rapid.SampledFrom([]string{
		"1", "0", "-0.5", "28.125", "1e2", "1E+2", "1e999", "01", "1.", ".5", "+1", "0x1p-2", "1_0", "Inf", "null", "true", `"line"`, `"string"`, `"upper"`, `"a\"b"`, `"ä"`,
		`""`, "[]", "[1]", "[1,null,2.5]", "[null]", "[1,]", "[,1]", "[1 ,2]", `["a"]`, "[[1]]", "[1", "{}", `{"length":6,"at":[4,8],"upper":[0.1,0.2],"lower":[0.1]}`,
		`{"length":6}`, `{"at":[4],"length":6}`, `{"length":6,"at":[null]}`, `{"length":6,"at":[4],"x":1}`, `{"length":6,}`, "",
	})
	kinds := map[string][]string{
		"pull": {"draw", "peak", "held", "from", "upper", "lower"}, "braced": {"height", "from", "upper", "lower", "block"}, "relaxed": {"upper", "lower"},
		"scrape": {"limb", "from", "to", "tool", "strokes", "depth", "depth_share"}, "exercise": {"pulls"}, "note": {"text"}, "finish": {"step"}, "": {"x"},
	}
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]string{"pull", "pull", "pull", "braced", "relaxed", "scrape", "exercise", "note", "finish", ""}).Draw(t, "kind")
		var fields []string
		if rapid.Bool().Draw(t, "with an id") {
			fields = append(fields, `"id":`+rapid.SampledFrom([]string{`"a"`, `"` + strings.Repeat("a", 300) + `"`, "1", "null", `"\u0041"`}).Draw(t, "id"))
		}
		if rapid.Bool().Draw(t, "with a time") {
			fields = append(fields, `"at":`+rapid.SampledFrom([]string{`"2027-01-10T09:00:00Z"`, `"2027-01-10T09:00:00.25+05:30"`, `"1927-01-10T09:00:00Z"`, `"soon"`, `""`}).Draw(t, "at"))
		}
		fields = append(fields, fmt.Sprintf(`"kind":%q`, kind))
		for _, name := range kinds[kind] {
			if rapid.IntRange(0, 3).Draw(t, "with "+name) > 0 {
				fields = append(fields, fmt.Sprintf("%q:%s", name, value.Draw(t, name)))
			}
		}
		if rapid.IntRange(0, 9).Draw(t, "with another") == 0 {
			fields = append(fields, rapid.SampledFrom([]string{`"glue":1`, `"Draw":3`, `"draw":3`, `"kind":"note"`, `"upper":[9]`, "", "1"}).Draw(t, "another"))
		}
		if rapid.IntRange(0, 9).Draw(t, "out of order") == 0 {
			fields = rapid.Permutation(fields).Draw(t, "order")
		}
		between := rapid.SampledFrom([]string{",", ",", ",", ",", ",", ", ", ""}).Draw(t, "between")
		heldAgainstTheDecoder(t, "{"+strings.Join(fields, between)+"}"+rapid.SampledFrom([]string{"", "", "", "", " ", "}", ","}).Draw(t, "behind"), measure.Imperial())
	})
}

// TestWhatTheProgramWritesIsPlain holds the short way to be taken for the entries that are made at the tree: else it is of no use.
func TestWhatTheProgramWritesIsPlain(t *testing.T) {
	row := []measure.Optional[measure.Length]{measure.Some[measure.Length](1.0625), {}, measure.Some[measure.Length](-3)}
	rows := model.Readings{row, row}
	for _, what := range []model.Event{
		model.Pull{Draw: 28, Peak: measure.Some[measure.Force](40.1), Held: measure.Some(3 * time.Second), From: model.FromLine, Readings: rows},
		model.Pull{Draw: 28, From: model.FromString},
		model.Braced{Height: measure.Some[measure.Length](6), From: model.FromString, Readings: rows, Block: &model.Block{Length: 6, At: []measure.Length{4, 8, 12}, Gaps: rows}},
		model.Braced{From: model.FromLine}, model.Relaxed{Readings: rows}, model.Relaxed{},
		model.Scrape{Limb: model.Lower, From: 4, To: 12, Tool: "scraper", Strokes: measure.Some(10), Depth: measure.Some[measure.Length](0.01), DepthShare: measure.Some(0.02)},
		model.Exercise{Pulls: 30}, model.Note{Text: "a flat spot, below the knot"},
	} {
		for _, units := range []measure.Units{measure.Imperial(), {Length: measure.Millimetre, Force: measure.KilogramForce}} {
			item, err := NewItem(model.Entry{ID: "01JH", At: time.Date(2027, 1, 10, 9, 0, 0, 0, time.UTC), What: what}, units)
			if err != nil {
				t.Fatal(err)
			}
			if !heldAgainstTheDecoder(t, string(item.Doc), units) {
				t.Errorf("%s is not taken the short way", item.Doc)
			}
		}
	}
}

// BenchmarkParseKept reads a pull with 16 readings as a book keeps it, and as any other document is read.
func BenchmarkParseKept(b *testing.B) {
	row := make([]measure.Optional[measure.Length], 8)
	for i := range row {
		row[i] = measure.Some(measure.Length(i*i) / 16)
	}
	pull := model.Pull{Draw: 28, Peak: measure.Some[measure.Force](40.1), From: model.FromLine, Readings: model.Readings{row, row}}
	item, err := NewItem(model.Entry{ID: "01JHAAAAAAAAAAAAAAAAAAAAAA", At: time.Date(2027, 1, 10, 9, 0, 0, 0, time.UTC), What: pull}, measure.Imperial())
	if err != nil {
		b.Fatal(err)
	}
	for name, parse := range map[string]func(json.RawMessage, measure.Units) (Item, error){"plain": ParseKept, "any": parseAny} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := parse(item.Doc, measure.Imperial()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
