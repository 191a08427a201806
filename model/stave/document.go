package stave

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"

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
	mostPlaces = 400
	mostDraws  = 400
	// mostLength is the greatest length, in any of the units, and the least is one over it.
	mostLength = 1e6
)

// A document is a stave as it was read. Numbers stay in the units of the document, since the mathematics is
// free of units.
type document struct {
	units  measure.Units
	bow    strung.Bow
	string strung.String
	// given is the name of the field of the string that was given, "length" or "brace".
	given string
	draws []float64
}

// read reads one document and nothing behind it.
func read(r io.Reader) (document, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	switch {
	case err != nil:
		return document{}, fmt.Errorf("reading the stave: %w", err)
	case len(data) > mostBytes:
		return document{}, fault("", "it is longer than %d bytes; expected one stave (JSON)", mostBytes)
	}
	if kind(data) == 'n' && len(data) == 0 {
		return document{}, fault("", "it is empty; expected a stave (JSON)")
	}
	var raw json.RawMessage
	if err := json.Unmarshal(data, &raw); err != nil {
		var syntax *json.SyntaxError
		if errors.As(err, &syntax) {
			return document{}, fault("", "it is not JSON at byte %d (%v); expected one stave", syntax.Offset, syntax)
		}
		return document{}, fault("", "it is not JSON (%v); expected one stave", err)
	}
	return decode(raw)
}

func decode(raw json.RawMessage) (doc document, err error) {
	top, err := open("", raw, "format", "version", "units", "handle", "limbs", "string", "draws")
	if err != nil {
		return doc, err
	}
	if name, err := top.text("format", `"`+format+`"`); err != nil {
		return doc, err
	} else if name != format {
		return doc, fault("format", "found %q; expected %q", shorten(name), format)
	}
	if v, err := top.number("version", "1"); err != nil {
		return doc, err
	} else if v != version {
		return doc, fault("version", "found %v; expected 1", v)
	}
	for _, step := range [...]func(object) error{doc.decodeUnits, doc.decodeBow, doc.decodeString, doc.decodeDraws} {
		if err := step(top); err != nil {
			return doc, err
		}
	}
	return doc, nil
}

func (doc *document) decodeUnits(top object) error {
	raw, err := top.need("units", `{"length": …, "force": …}`)
	if err != nil {
		return err
	}
	units, err := open("units", raw, "length", "force")
	if err != nil {
		return err
	}
	length, err := units.text("length", "in, cm or mm")
	if err != nil {
		return err
	}
	force, err := units.text("force", "lbf, kgf or N")
	if err != nil {
		return err
	}
	doc.units = measure.Units{Length: measure.LengthUnit(length), Force: measure.ForceUnit(force)}
	if doc.units.Length.Check() != nil {
		return fault("units.length", "found %q; expected in, cm or mm", shorten(length))
	}
	if doc.units.Force.Check() != nil {
		return fault("units.force", "found %q; expected lbf, kgf or N", shorten(force))
	}
	return nil
}

func (doc *document) decodeBow(top object) error {
	handle, err := top.number("handle", "the length of the handle")
	if err != nil {
		return err
	}
	if !(handle >= 0 && handle <= mostLength) {
		return fault("handle", "found %v; expected a length of 0 or more", handle)
	}
	doc.bow.Handle = handle
	raw, err := top.need("limbs", `{"upper": …, "lower": …}`)
	if err != nil {
		return err
	}
	limbs, err := open("limbs", raw, "upper", "lower")
	if err != nil {
		return err
	}
	upper, err := limbs.need("upper", "a limb")
	if err != nil {
		return err
	}
	if doc.bow.Upper, err = decodeLimb("limbs.upper", upper); err != nil {
		return err
	}
	doc.bow.Lower = doc.bow.Upper
	if !limbs.has("lower") {
		return nil
	}
	lower, err := open("limbs.lower", limbs.fields["lower"], limbFields()...)
	if err != nil || len(lower.fields) == 0 {
		return err
	}
	doc.bow.Lower, err = decodeLimb("limbs.lower", limbs.fields["lower"])
	return err
}

func limbFields() []string { return []string{"length", "at", "stiffness", "rest_bend"} }

// decodeLimb reads one limb and sees that its lists fit each other. That stiffness is positive and bend within sense is
// left to the solver.
func decodeLimb(path string, raw json.RawMessage) (limb strung.Limb, err error) {
	o, err := open(path, raw, limbFields()...)
	if err != nil {
		return limb, err
	}
	if limb.Length, err = o.number("length", "the limb's length from root to nock"); err != nil {
		return limb, err
	}
	if !(limb.Length >= 1/mostLength && limb.Length <= mostLength) {
		return limb, fault(o.at("length"), "found %v; expected a positive length", limb.Length)
	}
	if limb.At, err = o.numbers("at", "a list of places from 0 to the limb's length", mostPlaces); err != nil {
		return limb, err
	}
	n := len(limb.At)
	if n < 2 {
		return limb, fault(o.at("at"), "it has %d values; expected 2 or more places, from 0 to the limb's length", n)
	}
	for i, at := range limb.At {
		field := fmt.Sprintf("%s[%d]", o.at("at"), i)
		switch {
		case i == 0 && at != 0:
			return limb, fault(field, "found %v; expected 0, the root", at)
		case i > 0 && !(at > limb.At[i-1]):
			return limb, fault(field, "found %v after %v; expected places that rise from 0 to the limb's length", at, limb.At[i-1])
		case i == n-1 && at != limb.Length:
			return limb, fault(field, "found %v; expected the limb's length %v", at, limb.Length)
		}
	}
	if limb.Stiffness, err = o.numbers("stiffness", "a list of stiffnesses, one for each place", mostPlaces); err != nil {
		return limb, err
	}
	if len(limb.Stiffness) != n {
		return limb, fault(o.at("stiffness"), "it has %d values; expected %d, one for each place", len(limb.Stiffness), n)
	}
	if !o.has("rest_bend") {
		return limb, nil
	}
	if limb.RestBend, err = o.numbers("rest_bend", "null or a list of curvatures, one for each place", mostPlaces); err != nil {
		return limb, err
	}
	if len(limb.RestBend) != n {
		return limb, fault(o.at("rest_bend"), "it has %d values; expected %d, one for each place", len(limb.RestBend), n)
	}
	return limb, nil
}

func (doc *document) decodeString(top object) error {
	want := "either length or brace"
	raw, err := top.need("string", want)
	if err != nil {
		return err
	}
	o, err := open("string", raw, "length", "brace")
	if err != nil {
		return err
	}
	if o.has("length") == o.has("brace") {
		return fault("string", "expected %s, one of the two", want)
	}
	doc.given = "length"
	if o.has("brace") {
		doc.given = "brace"
	}
	v, err := o.number(doc.given, "a length")
	if err != nil {
		return err
	}
	if !(v >= 1/mostLength && v <= mostLength) {
		return fault(o.at(doc.given), "found %v; expected a positive length", v)
	}
	doc.string = strung.ByLength(v)
	if doc.given == "brace" {
		doc.string = strung.ByBrace(v)
	}
	return nil
}

func (doc *document) decodeDraws(top object) (err error) {
	doc.draws, err = top.numbers("draws", "a list of draws", mostDraws)
	for i, draw := range doc.draws {
		if math.Abs(draw) > mostLength {
			return fault(fmt.Sprintf("draws[%d]", i), "found %v; expected a length", draw)
		}
	}
	return err
}
