package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"github.com/oklog/ulid/v2"
	"pgregory.net/rapid"

	"bendbook/model/measure"
)

// fields is a JSON object under construction.
type fields map[string]any

// generator draws records as a stranger's program might write them.
type generator struct {
	t       *rapid.T
	units   measure.Units
	unknown bool // put in fields that this version does not know
}

func newGenerator(t *rapid.T) generator {
	return generator{t: t, unknown: rapid.Bool().Draw(t, "unknown"), units: measure.Units{
		Length: rapid.SampledFrom([]measure.LengthUnit{measure.Inch, measure.Centimetre,
			measure.Millimetre}).Draw(t, "length unit"),
		Force: rapid.SampledFrom([]measure.ForceUnit{measure.PoundForce, measure.KilogramForce,
			measure.Newton}).Draw(t, "force unit"),
	}}
}

func (g generator) chance(label string) bool { return rapid.IntRange(0, 2).Draw(g.t, label) > 0 }

// number is a number of the record's units, to three decimals, between two bounds in inches or pounds.
func (g generator) number(label string, per, least, most float64) json.Number {
	v := math.Round(rapid.Float64Range(least, most).Draw(g.t, label)*per*1000) / 1000
	return json.Number(strconv.FormatFloat(v, 'f', -1, 64))
}

func (g generator) length(label string, least, most float64) json.Number {
	return g.number(label, g.units.Length.PerInch(), least, most)
}

func (g generator) force(label string, least, most float64) json.Number {
	return g.number(label, g.units.Force.PerPound(), least, most)
}

// lengths is a list that may be short, with nulls in it; nil (null) at times.
func (g generator) lengths(label string, n int, least, most float64) any {
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

func (g generator) text(label string) string { return rapid.StringN(0, 12, 100).Draw(g.t, label) }

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

const stations = 4

func (g generator) limb() fields {
	limb := fields{"length": g.length("limb", 30, 36)}
	places := []any{}
	for i := range rapid.IntRange(0, stations).Draw(g.t, "stations") {
		places = append(places, g.length("station", 7*float64(i)+6.1, 7*float64(i)+6.9))
	}
	limb["stations"] = places
	g.maybe(limb, "widths", g.lengths("width", len(places), .3, 2))
	g.maybe(limb, "depths", g.lengths("depth", len(places), .3, 2))
	return g.strange(limb)
}

func (g generator) bow(id string) fields {
	order := fields{}
	g.maybe(order, "for", g.text("for"))
	g.maybe(order, "draw", g.length("ordered draw", 20, 32))
	g.maybe(order, "draw_to", rapid.SampledFrom([]string{"belly", "back", "pivot+1.75"}).Draw(g.t, "draw to"))
	g.maybe(order, "weight", g.force("weight", 10, 120))
	g.maybe(order, "allow", g.force("allow", 0, 5))
	g.maybe(order, "due", "2027-02-01")
	aim := fields{}
	g.maybe(aim, "bend", g.text("bend"))
	g.maybe(aim, "tiller_at", g.length("tiller at", 1, 20))
	g.maybe(aim, "tiller", g.length("tiller", -.5, .5))
	g.maybe(aim, "stiff_tips", g.length("stiff tips", 0, 4))
	readings := fields{}
	g.maybe(readings, "rule", g.length("rule", .01, 1))
	g.maybe(readings, "scale", g.force("scale", .01, 1))
	g.maybe(readings, "cradle", rapid.SampledFrom([]string{"clamped", "rocking"}).Draw(g.t, "cradle"))
	g.maybe(readings, "scale_at", rapid.SampledFrom([]string{"hook", "rope"}).Draw(g.t, "scale at"))
	g.maybe(readings, "reads_high", g.number("reads high", 1, .01, .5))
	g.maybe(readings, "tare", g.force("tare", .01, 9))
	g.maybe(readings, "hook_off", g.length("hook off", -2, 2))
	g.maybe(readings, "line", rapid.SampledFrom([]string{"wall", "bow"}).Draw(g.t, "line"))
	bow := fields{"id": id, "name": g.text("name"), "limbs": g.strange(fields{"upper": g.limb(),
		"lower": g.limb()})}
	g.maybe(bow, "wood", g.text("wood"))
	g.maybe(bow, "number", g.text("number"))
	g.maybe(bow, "handle", g.length("handle", 0, 8))
	g.maybe(bow, "handle_depth", g.length("handle depth", .5, 2))
	g.maybe(bow, "section", rapid.SampledFrom([]string{"D", "rectangle", "ellipse"}).Draw(g.t, "section"))
	g.maybe(bow, "order", g.strange(order))
	g.maybe(bow, "aim", g.strange(aim))
	g.maybe(bow, "readings", g.strange(readings))
	return g.strange(bow)
}

// readings adds both limbs' rows. One shorter than any limb's stations, so that it fits each bow above.
func (g generator) readings(o fields, bow fields) {
	for _, side := range []string{"upper", "lower"} {
		n := len(bow["limbs"].(fields)[side].(fields)["stations"].([]any))
		g.maybe(o, side, g.lengths(side, n, 0, 6))
	}
}

func (g generator) entry(bow fields) fields {
	e := fields{}
	kind := rapid.SampledFrom([]string{
		"relaxed", "string", "braced", "pull", "scrape", "exercise", "finish", "moisture", "note", "void", "bow",
		"rack", "weathervane",
	}).Draw(g.t, "kind")
	e["kind"] = kind
	switch kind {
	case "relaxed":
		g.readings(e, bow)
	case "string":
		e["length"] = g.length("string", 55, 75)
		g.maybe(e, "material", g.text("material"))
	case "braced":
		g.maybe(e, "height", g.length("height", 4, 8))
		g.maybe(e, "from", rapid.SampledFrom([]string{"line", "string"}).Draw(g.t, "from"))
		g.readings(e, bow)
		block := fields{"length": g.length("block", 5, 7), "at": []any{g.length("at", 3, 4), g.length("at", 7, 8)}}
		block["upper"], block["lower"] = g.lengths("gap", 2, 0, .3), g.lengths("gap", 2, 0, .3)
		g.maybe(e, "block", g.strange(block))
	case "pull":
		e["draw"] = g.length("draw", 8, 30)
		g.maybe(e, "peak", g.force("peak", 3, 120))
		g.maybe(e, "held", g.number("held", 1, 0.1, 600))
		g.maybe(e, "from", rapid.SampledFrom([]string{"line", "string"}).Draw(g.t, "from"))
		g.readings(e, bow)
	case "scrape":
		e["limb"] = rapid.SampledFrom([]string{"upper", "lower"}).Draw(g.t, "limb")
		e["from"], e["to"] = g.length("from", 0, 10), g.length("to", 11, 29)
		g.maybe(e, "tool", g.text("tool"))
		g.maybe(e, "strokes", rapid.IntRange(0, 99).Draw(g.t, "strokes"))
		g.maybe(e, "depth", g.length("depth", 0, .05))
		g.maybe(e, "depth_share", json.Number("0.0125"))
	case "exercise":
		e["pulls"] = rapid.IntRange(0, 99).Draw(g.t, "pulls")
	case "finish":
		e["step"] = g.text("step")
		g.maybe(e, "coat", rapid.IntRange(1, 9).Draw(g.t, "coat"))
		g.maybe(e, "grit", rapid.IntRange(1, 400).Draw(g.t, "grit"))
		g.maybe(e, "on", "2027-02-01")
		g.maybe(e, "text", g.text("stamped"))
	case "moisture":
		e["where"] = rapid.SampledFrom([]string{"shop", "customer"}).Draw(g.t, "where")
		g.maybe(e, "content", json.Number("0.09"))
		g.maybe(e, "celsius", json.Number("21.5"))
		g.maybe(e, "humidity", json.Number("0.55"))
	case "note":
		e["text"] = g.text("text")
	case "void":
		e["entry"], e["why"] = "01JH7M0000000000000000000B", g.text("why")
	case "bow":
		e["set"] = g.strange(fields{"name": g.text("new name"),
			"order": fields{"weight": g.force("new weight", 10, 90), "due": nil}})
	case "rack":
		e["in_hand"] = rapid.Bool().Draw(g.t, "in hand")
		g.maybe(e, "why", g.text("why"))
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
		e := g.entry(bow)
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
