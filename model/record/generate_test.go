package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/oklog/ulid/v2"
	"pgregory.net/rapid"

	"bendbook/model/measure"
)

// fields is a JSON object under construction.
type fields map[string]any

// generator draws records as a stranger's program might write them.
type generator struct {
	t        *rapid.T
	units    measure.Units
	unknown  bool           // put in fields that this version does not know
	stations map[string]int // on each limb and under a block
}

func newGenerator(t *rapid.T) generator {
	lengths := []measure.LengthUnit{measure.Inch, measure.Centimetre, measure.Millimetre}
	forces := []measure.ForceUnit{measure.PoundForce, measure.KilogramForce, measure.Newton}
	count := rapid.IntRange(0, 4)
	return generator{
		t: t, unknown: rapid.Bool().Draw(t, "unknown"),
		units: measure.Units{
			Length: rapid.SampledFrom(lengths).Draw(t, "length unit"),
			Force:  rapid.SampledFrom(forces).Draw(t, "force unit"),
		},
		stations: map[string]int{"upper": count.Draw(t, "upper"), "lower": count.Draw(t, "lower"), "block": 2},
	}
}

func (g generator) chance(label string) bool { return rapid.IntRange(0, 2).Draw(g.t, label) > 0 }

// value is one that its words describe: text, a flag, a count or a number between two bounds, of lengths in
// inches and of forces in pounds, a row of lengths, or else one of the words.
func (g generator) value(label string, words ...string) any {
	bound := func(i int) float64 {
		v, err := strconv.ParseFloat(words[i], 64)
		check(g.t, err)
		return v
	}
	switch words[0] {
	case "text":
		return rapid.StringN(0, 12, 100).Draw(g.t, label)
	case "flag":
		return rapid.Bool().Draw(g.t, label)
	case "count":
		return rapid.IntRange(int(bound(1)), int(bound(2))).Draw(g.t, label)
	case "row":
		return g.row(label, g.stations[words[1]], bound(2), bound(3))
	case "number", "length", "force":
		per := map[string]float64{"number": 1, "length": g.units.Length.PerInch(), "force": g.units.Force.PerPound()}
		return g.number(label, per[words[0]], bound(1), bound(2))
	}
	return rapid.SampledFrom(words).Draw(g.t, label)
}

// number is a number of the record's units, to three decimals, between two bounds.
func (g generator) number(label string, per, least, most float64) json.Number {
	v := math.Round(rapid.Float64Range(least, most).Draw(g.t, label)*per*1000) / 1000
	return json.Number(strconv.FormatFloat(v, 'f', -1, 64))
}

func (g generator) length(label string, least, most float64) json.Number {
	return g.number(label, g.units.Length.PerInch(), least, most)
}

// row is a list of lengths that may be short, with nulls in it; nil (null) at times.
func (g generator) row(label string, n int, least, most float64) any {
	if !g.chance(label + " given") {
		return nil
	}
	row := []any{}
	for range rapid.IntRange(0, n).Draw(g.t, label+" count") {
		if g.chance(label + " read") {
			row = append(row, g.length(label, least, most))
		} else {
			row = append(row, nil)
		}
	}
	return row
}

// maybe puts a value, a null or nothing at all into an object.
func (g generator) maybe(o fields, name string, value any) {
	switch rapid.IntRange(0, 3).Draw(g.t, name+" present") {
	case 0:
	case 1:
		o[name] = nil
	default:
		o[name] = value
	}
}

// fill adds fields, each as its name, with a mark where it must be there, and the words of its value.
func (g generator) fill(o fields, all string) fields {
	for field := range strings.FieldsFuncSeq(all, func(r rune) bool { return r == ';' }) {
		words := strings.Fields(field)
		name, must := strings.CutSuffix(words[0], "!")
		value := g.value(name, words[1:]...)
		if must {
			o[name] = value
		} else {
			g.maybe(o, name, value)
		}
	}
	return o
}

// strange adds fields that this version does not know.
func (g generator) strange(o fields) fields {
	if g.unknown {
		for i := range rapid.IntRange(0, 2).Draw(g.t, "strange fields") {
			o[fmt.Sprintf("x_%d", i)] = rapid.SampledFrom([]any{
				nil, true, json.Number("1.50"), json.Number("-0"), json.Number("12345678901234567890.5"),
				json.Number("1e400"), "<&>\u2028\x00", "",
				[]any{nil, json.Number("1"), fields{"y": nil}}, fields{"kind": "pull", "y": []any{fields{}}},
			}).Draw(g.t, "strange")
		}
	}
	return o
}

func (g generator) limb(side string) fields {
	places := []any{}
	for i := range g.stations[side] {
		places = append(places, g.length("station", 7*float64(i)+6.1, 7*float64(i)+6.9))
	}
	return g.strange(g.fill(fields{"stations": places}, fmt.Sprintf(
		"length! length 30 36; widths row %[1]s .3 2; depths row %[1]s .3 2", side)))
}

func (g generator) bow(id string) fields {
	order := g.fill(fields{}, "for text; draw length 20 32; draw_to belly back pivot+1.75; weight force 10 120; "+
		"allow force 0 5; due 2027-02-01")
	aim := g.fill(fields{}, "bend text; tiller_at length 1 20; tiller length -.5 .5; stiff_tips length 0 4")
	readings := g.fill(fields{}, "rule length .01 1; scale force .01 1; cradle clamped rocking; "+
		"scale_at hook rope; reads_high number .01 .5; tare force .01 9; hook_off length -2 2; line wall bow")
	bow := g.fill(fields{"id": id}, "name! text; wood text; number text; handle length 0 8; "+
		"handle_depth length .5 2; section D rectangle ellipse")
	bow["limbs"] = g.strange(fields{"upper": g.limb("upper"), "lower": g.limb("lower")})
	g.maybe(bow, "order", g.strange(order))
	g.maybe(bow, "aim", g.strange(aim))
	g.maybe(bow, "readings", g.strange(readings))
	return g.strange(bow)
}

// rows are readings on both limbs.
const rows = "; upper row upper 0 6; lower row lower 0 6"

// kinds are the kinds of entry, one of them unknown, with their fields but for objects.
var kinds = map[string]string{
	"relaxed":     "minutes number 0 600" + rows,
	"string":      "length! length 55 75; material text",
	"braced":      "height length 4 8; from line string" + rows,
	"pull":        "draw! length 8 30; peak force 3 120; held number 0.1 600; from line string" + rows,
	"exercise":    "pulls! count 0 99; draw length 8 30; minutes number 0 600",
	"finish":      "step! text; coat count 1 9; grit count 1 400; on 2027-02-01; text text",
	"moisture":    "where! shop customer; content number .09 .09; celsius number 20 21.5; humidity number .5 .5",
	"note":        "text! text",
	"void":        "entry! 01JH7M0000000000000000000B; why! text",
	"bow":         "",
	"rack":        "in_hand! flag; why text; found text; done text",
	"shorten":     "off_upper! length 0.1 2; off_lower length 0 2",
	"crack":       "limb! upper lower; place length 0 29; what! crack splinter chrysal noise",
	"mended":      "limb! upper lower; place length 0 29; how! glued",
	"shot":        "arrows! count 1 999; grains number 100 900; draw length 8 30",
	"track":       "offset! length 0 1; toward! left right; twist_upper number -20 20; twist_lower number -20 20",
	"patch":       "limb! upper lower; from! length 0 10; to! length 11 29; what! backing sinew glue handle",
	"weathervane": "",
	"heat": "limb! upper lower; from! length 0 10; to! length 11 29; why! setback straighten twist toast; " +
		"with steam dry; reached length -2 2",
	"scrape": "limb! upper lower; from! length 0 10; to! length 11 29; tool text; strokes count 0 99; " +
		"depth length 0 .05; depth_share number .013 .013; face left right sides facets",
}

func (g generator) entry() fields {
	kind := rapid.SampledFrom(slices.Sorted(maps.Keys(kinds))).Draw(g.t, "kind")
	e := g.fill(fields{"kind": kind}, kinds[kind])
	switch kind {
	case "braced":
		block := fields{"at": []any{g.length("at", 3, 4), g.length("at", 7, 8)}}
		g.fill(block, "length! length 5 7; upper row block 0 .3; lower row block 0 .3")
		g.maybe(e, "block", g.strange(block))
	case "bow":
		order := g.fill(fields{"due": nil}, "weight! force 10 90")
		e["set"] = g.strange(g.fill(fields{"order": order}, "name! text"))
	}
	g.maybe(e, "at", g.time().Format(time.RFC3339Nano))
	return g.strange(e)
}

func (g generator) time() time.Time {
	ms := rapid.Int64Range(0, 1e10).Draw(g.t, "time")
	zone := time.FixedZone("", 1800*rapid.IntRange(-24, 24).Draw(g.t, "zone"))
	return time.UnixMilli(1_700_000_000_000 + ms).In(zone)
}

// ids give an entry an id; "" is none.
type ids func(t *rapid.T, i int) string

func noIDs(*rapid.T, int) string { return "" }

func anyIDs(t *rapid.T, i int) string {
	switch rapid.IntRange(0, 2).Draw(t, "id") {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("entry %d", i)
	}
	return ulidAt(rapid.Uint64Range(1e12, 2e12).Draw(t, "ms"), i)
}

// ulidAt is a ULID of a millisecond, different for each i.
func ulidAt(ms uint64, i int) string {
	u := ulid.ULID{14: byte(i >> 8), 15: byte(i)}
	if err := u.SetTime(ms); err != nil {
		panic(err)
	}
	return u.String()
}

func (g generator) record(name ids) fields {
	bow := g.bow("the bow")
	entries := []any{}
	for i := range rapid.IntRange(0, 6).Draw(g.t, "entries") {
		e := g.entry()
		if id := name(g.t, i); id != "" {
			e["id"] = id
		}
		entries = append(entries, e)
	}
	units := g.strange(fields{"length": g.units.Length, "force": g.units.Force})
	return g.strange(fields{"format": ourFormat, "version": ourVersion, "units": units, "bow": bow,
		"entries": entries})
}

func encode(t rapid.TB, v any) []byte {
	t.Helper()
	doc, err := json.MarshalIndent(v, "", " ")
	check(t, err)
	return doc
}

func parse(t rapid.TB, doc []byte) Record {
	t.Helper()
	rec, err := Parse(doc)
	if err != nil {
		t.Fatalf("Parse: %v\n%s", err, doc)
	}
	return rec
}

func written(t rapid.TB, rec Record) []byte {
	t.Helper()
	var b bytes.Buffer
	check(t, Write(&b, rec))
	return b.Bytes()
}

// meaning is what a document says, numbers to the letter, the order of fields apart.
func meaning(t rapid.TB, doc []byte) any {
	t.Helper()
	dec := json.NewDecoder(bytes.NewReader(doc))
	dec.UseNumber()
	var v any
	if err := dec.Decode(&v); err != nil {
		t.Fatalf("%v\n%s", err, doc)
	}
	return v
}

func idsOf(items []Item) []string {
	ids := make([]string, len(items))
	for i, item := range items {
		ids[i] = item.Entry.ID
	}
	return ids
}

// book is what a book has after it took in the records, one after another.
func book(records ...[]Item) []Item {
	var have []Item
	for _, items := range records {
		add, _ := Merge(have, items)
		have = append(slices.Clone(have), add...)
		SortItems(have)
	}
	return have
}

// check fails the test at an error.
func check(t rapid.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
