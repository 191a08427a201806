package stave

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

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
	mostBytes = 1 << 20
	mostDraws = 400
)

// A document is a stave as it was read, in its own units: the mathematics is free of them.
type document struct {
	units  measure.Units
	bow    strung.Bow
	string strung.String
	given  string // the field of the string that was given, "length" or "brace"
	draws  []float64
}

// written is a document as JSON.
type written struct {
	Format  string        `json:"format"`
	Version int           `json:"version"`
	Units   measure.Units `json:"units"`
	Handle  float64       `json:"handle"`
	Limbs   struct {
		Upper limb `json:"upper"`
		Lower limb `json:"lower"`
	} `json:"limbs"`
	String struct {
		Length *float64 `json:"length"`
		Brace  *float64 `json:"brace"`
	} `json:"string"`
	Draws []float64 `json:"draws"`
}

type limb struct {
	Length    float64   `json:"length"`
	At        []float64 `json:"at"`
	Stiffness []float64 `json:"stiffness"`
	RestBend  []float64 `json:"rest_bend"`
}

// read reads one document and nothing behind it. What the bow is made of is left to the solver to judge.
func read(r io.Reader) (doc document, err error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	switch {
	case err != nil:
		return doc, fmt.Errorf("reading the stave: %w", err)
	case len(data) > mostBytes:
		return doc, model.Fault("", "it is longer than %d bytes: give one stave (JSON)", mostBytes)
	case len(data) == 0:
		return doc, model.Fault("", "it is empty: give one stave (JSON)")
	}
	w, err := decode(data)
	if err != nil {
		return doc, err
	}
	doc = document{units: w.Units, draws: w.Draws}
	if w.Limbs.Lower.Length == 0 && w.Limbs.Lower.At == nil {
		w.Limbs.Lower = w.Limbs.Upper
	}
	doc.bow = strung.Bow{Handle: w.Handle, Upper: strung.Limb(w.Limbs.Upper), Lower: strung.Limb(w.Limbs.Lower)}
	if w.String.Length != nil {
		doc.given, doc.string = "length", strung.ByLength(*w.String.Length)
	} else {
		doc.given, doc.string = "brace", strung.ByBrace(*w.String.Brace)
	}
	return doc, nil
}

// decode parses one document and checks its form. The error names the field at fault.
func decode(data []byte) (w written, err error) {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	err = dec.Decode(&w)
	_, end := dec.Token()
	switch {
	case err == nil && w.Format == "", w.Format != "" && w.Format != format:
		return w, model.Fault("format", "found %.60q: write %q", w.Format, format)
	case err != nil:
		return w, model.JSONFault(err, "a stave")
	case !errors.Is(end, io.EOF):
		return w, model.Fault("", "it goes on after its end: give one stave")
	case w.Version != version:
		return w, model.Fault("version", "found %d: write %d", w.Version, version)
	case (w.String.Length == nil) == (w.String.Brace == nil):
		return w, model.Fault("string", "give either length or brace, not both")
	case len(w.Draws) > mostDraws:
		return w, model.Fault("draws", "it has %d values: write at most %d", len(w.Draws), mostDraws)
	}
	return w, model.CheckUnits(w.Units)
}
