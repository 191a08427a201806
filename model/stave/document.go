package stave

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/strung"
)

// What a stave document calls itself, and the version that is read here.
const (
	format  = "bendbook/stave"
	version = 1
)

// Bounds that keep the work small; no bow comes near them.
const (
	mostBytes  = 1 << 20
	mostValues = 400
	mostLength = 1e6 // in any of the units; the least is one over it
)

// A document is a stave as it was read, in its own units: the mathematics is free of them.
type document struct {
	units  measure.Units
	bow    strung.Bow
	string strung.String
	given  string // the field of the string that was given, "length" or "brace"
	draws  []float64
}

// read reads one document and nothing behind it.
func read(r io.Reader) (document, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	switch {
	case err != nil:
		return document{}, fmt.Errorf("reading the stave: %w", err)
	case len(data) > mostBytes:
		return document{}, model.Fault("", "it is longer than %d bytes: give one stave (JSON)", mostBytes)
	case len(data) == 0:
		return document{}, model.Fault("", "it is empty: give one stave (JSON)")
	}
	var syntax *json.SyntaxError
	if err := json.Unmarshal(data, new(json.RawMessage)); errors.As(err, &syntax) {
		return document{}, model.Fault("", "it is not JSON at byte %d (%v): give one stave", syntax.Offset,
			syntax)
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	var top any
	_ = dec.Decode(&top) // it is JSON, as was just seen
	var d decoder
	doc := d.document(top)
	return doc, d.err
}

// A decoder reads values and keeps the first fault; after it what it gives means nothing.
type decoder struct{ err error }

func (d *decoder) fail(field, format string, args ...any) {
	if d.err == nil {
		d.err = model.Fault(field, format, args...)
	}
}

func (d *decoder) document(v any) (doc document) {
	top := d.open("", v, "format", "version", "units", "handle", "limbs", "string", "draws")
	if name := top.text("format", `"`+format+`"`); name != format {
		d.fail("format", "found %q: write %q", shorten(name), format)
	}
	if v := top.number("version", "1"); v != version {
		d.fail("version", "found %v: write 1", v)
	}
	units := d.open("units", top.need("units", `{"length": …, "force": …}`), "length", "force")
	length, force := units.text("length", "in, cm or mm"), units.text("force", "lbf, kgf or N")
	doc.units = measure.Units{Length: measure.LengthUnit(length), Force: measure.ForceUnit(force)}
	if doc.units.Length.Check() != nil {
		d.fail("units.length", "found %q: write in, cm or mm", shorten(length))
	}
	if doc.units.Force.Check() != nil {
		d.fail("units.force", "found %q: write lbf, kgf or N", shorten(force))
	}
	doc.bow.Handle = top.number("handle", "the length of the handle")
	if !(doc.bow.Handle >= 0 && doc.bow.Handle <= mostLength) {
		d.fail("handle", "found %v: write a length of 0 or more", doc.bow.Handle)
	}
	limbs := d.open("limbs", top.need("limbs", `{"upper": …, "lower": …}`), "upper", "lower")
	doc.bow.Upper = d.limb("limbs.upper", limbs.need("upper", "a limb"))
	doc.bow.Lower = doc.bow.Upper
	lower := limbs.fields["lower"]
	if empty, isObject := lower.(map[string]any); lower != nil && !(isObject && len(empty) == 0) {
		doc.bow.Lower = d.limb("limbs.lower", lower)
	}
	str := d.open("string", top.need("string", "either length or brace"), "length", "brace")
	if str.has("length") == str.has("brace") {
		d.fail("string", "give either length or brace, not both")
	}
	if doc.given = "length"; str.has("length") {
		doc.string = strung.ByLength(str.length("length", "a length"))
	} else {
		doc.given, doc.string = "brace", strung.ByBrace(str.length("brace", "a length"))
	}
	doc.draws = top.numbers("draws", "a list of draws")
	for i, draw := range doc.draws {
		if math.Abs(draw) > mostLength {
			d.fail(fmt.Sprintf("draws[%d]", i), "found %v: write a length", draw)
		}
	}
	return doc
}

// limb reads one limb and sees that its lists fit each other. That stiffness is positive and bend within
// sense is left to the solver.
func (d *decoder) limb(path string, v any) strung.Limb {
	o := d.open(path, v, "length", "at", "stiffness", "rest_bend")
	limb := strung.Limb{Length: o.length("length", "the limb's length from root to nock")}
	limb.At = o.numbers("at", "a list of places from 0 to the limb's length")
	n := len(limb.At)
	if n < 2 {
		d.fail(o.at("at"), "it has %d values: write 2 or more places, from 0 to the limb's length", n)
	}
	for i, at := range limb.At {
		field := fmt.Sprintf("%s[%d]", o.at("at"), i)
		switch {
		case i == 0 && at != 0:
			d.fail(field, "found %v: write 0, the root", at)
		case i > 0 && !(at > limb.At[i-1]):
			d.fail(field, "found %v after %v: write places that rise from 0 to the limb's length", at, limb.At[i-1])
		case i == n-1 && at != limb.Length:
			d.fail(field, "found %v: write the limb's length %v", at, limb.Length)
		}
	}
	perPlace := func(name, want string) []float64 {
		list := o.numbers(name, want)
		if len(list) != n {
			d.fail(o.at(name), "it has %d values: write %d, one for each place", len(list), n)
		}
		return list
	}
	limb.Stiffness = perPlace("stiffness", "a list of stiffnesses, one for each place")
	if o.has("rest_bend") {
		limb.RestBend = perPlace("rest_bend", "null or a list of curvatures, one for each place")
	}
	return limb
}

// An object is one JSON object of the document, with the path that leads to it.
type object struct {
	*decoder
	path   string
	fields map[string]any
}

// open reads an object of known fields: one that is misspelt must not pass as left out.
func (d *decoder) open(path string, v any, known ...string) object {
	fields, ok := v.(map[string]any)
	if !ok {
		d.fail(path, "found %s: write an object", kind(v))
	}
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		if !slices.Contains(known, name) {
			d.fail(path, "the field %s is not known: write one of %s", strconv.QuoteToASCII(shorten(name)),
				strings.Join(known, ", "))
		}
	}
	return object{d, path, fields}
}

// at is the path of a field.
func (o object) at(name string) string { return strings.TrimPrefix(o.path+"."+name, ".") }

// has tells whether a field is there and not null.
func (o object) has(name string) bool { return o.fields[name] != nil }

// need is the field, which must be there.
func (o object) need(name, want string) any {
	if !o.has(name) {
		o.fail(o.at(name), "it is missing: write %s", want)
	}
	return o.fields[name]
}

func (o object) text(name, want string) string {
	text, ok := o.need(name, want).(string)
	if !ok {
		o.fail(o.at(name), "found %s: write %s", kind(o.fields[name]), want)
	}
	return text
}

func (o object) number(name, want string) float64 {
	return o.decoder.number(o.at(name), o.need(name, want), want)
}

func (o object) length(name, want string) float64 {
	v := o.number(name, want)
	if !(v >= 1/mostLength && v <= mostLength) {
		o.fail(o.at(name), "found %v: write a positive length", v)
	}
	return v
}

func (o object) numbers(name, want string) (list []float64) {
	items, ok := o.need(name, want).([]any)
	if !ok {
		o.fail(o.at(name), "found %s: write %s", kind(o.fields[name]), want)
	}
	if len(items) > mostValues {
		o.fail(o.at(name), "it has %d values: write at most %d", len(items), mostValues)
		return nil
	}
	for i, item := range items {
		list = append(list, o.decoder.number(fmt.Sprintf("%s[%d]", o.at(name), i), item, "a number"))
	}
	return list
}

func (d *decoder) number(path string, v any, want string) float64 {
	number, ok := v.(json.Number)
	if !ok {
		d.fail(path, "found %s: write %s", kind(v), want)
	}
	n, err := number.Float64()
	if err != nil {
		d.fail(path, "%s is beyond any measure: write %s", shorten(string(number)), want)
	}
	return n
}

// kind says what a JSON value is.
func kind(v any) string {
	switch v.(type) {
	case map[string]any:
		return "an object"
	case []any:
		return "a list"
	case string:
		return "text"
	case bool:
		return "true or false"
	case nil:
		return "nothing"
	}
	return "a number"
}

// shorten keeps a stranger's text from filling a message.
func shorten(text string) string {
	const most = 30
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return text
}
