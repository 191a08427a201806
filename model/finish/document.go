package finish

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
)

// Format and Version stand at the head of a shop's settings.
const (
	Format  = "bendbook/shop"
	Version = 1
)

// The JSON shape of the settings, in the order in which it is written.
type (
	settingsDoc struct {
		Format     string        `json:"format"`
		Version    int           `json:"version"`
		Units      measure.Units `json:"units"`
		Every      Every         `json:"every_bow,omitzero"`
		Dates      string        `json:"dates"`
		Screen     Screen        `json:"screen"`
		Stages     []stageDoc    `json:"stages"`
		Mark       Stamp         `json:"mark"`
		Number     Numbering     `json:"number"`
		Allowances allowancesDoc `json:"allowances"`
		Longbow    longbowDoc    `json:"longbow"`
		Tree       treeDoc       `json:"tree"`
		Card       Card          `json:"card"`
	}
	stageDoc struct {
		Name  string  `json:"name"`
		Seen  Sign    `json:"seen,omitempty"`
		Must  bool    `json:"must,omitempty"`
		Wood  bool    `json:"takes_wood,omitempty"`
		Coats int     `json:"coats,omitempty"`
		Grits []int   `json:"grits,omitempty"`
		Rest  float64 `json:"rest_hours,omitempty"`
	}
	allowancesDoc struct {
		Sanding  float64 `json:"sanding"`
		Settling float64 `json:"settling"`
	}
	longbowDoc struct {
		ArrowLimit float64 `json:"arrow_limit"`
	}
	treeDoc struct {
		Hold float64 `json:"hold_seconds"`
	}
)

// mostBytes is the longest document that is read.
const mostBytes = 1 << 20

// Parse reads settings from their document. A part that is missing is as usual. The error is a
// *model.FieldError that names the field and what was expected.
func Parse(doc []byte) (Settings, error) {
	if len(doc) > mostBytes {
		return Settings{}, &model.FieldError{Want: "it is too long for a shop's settings"}
	}
	d := document(usualIn(doc))
	d.Format, d.Version = "", 0
	// A list that is given stands in the place of the usual one, never into it.
	usual := d
	d.Stages, d.Card.Facts, d.Card.Care = nil, nil, nil
	dec := json.NewDecoder(bytes.NewReader(doc))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&d); err != nil {
		return Settings{}, unread(err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return Settings{}, &model.FieldError{Want: "something stands behind the settings; expected one JSON object"}
	}
	switch {
	case d.Format != Format:
		return Settings{}, wrong("format", "%.40q is no shop's settings; expected %q", d.Format, Format)
	case d.Version != Version:
		return Settings{}, wrong("version", "%d is not known here; expected %d", d.Version, Version)
	}
	if d.Stages == nil {
		d.Stages = usual.Stages
	}
	if d.Card.Facts == nil {
		d.Card.Facts = usual.Card.Facts
	}
	if d.Card.Care == nil {
		d.Card.Care = usual.Card.Care
	}
	s, err := d.settings()
	if err != nil {
		return Settings{}, err
	}
	return s, s.Check()
}

// usualIn are the usual settings in the units that a document names.
func usualIn(doc []byte) Settings {
	usual := Usual()
	head := struct {
		Units measure.Units `json:"units"`
	}{usual.Units}
	// What cannot be read is told when all is.
	if err := json.Unmarshal(doc, &head); err == nil && head.Units.Check() == nil {
		usual.Units = head.Units
	}
	return usual
}

// unread is an error of the decoder in the words of a FieldError.
func unread(err error) error {
	var mismatch *json.UnmarshalTypeError
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &mismatch):
		return &model.FieldError{Field: mismatch.Field, Want: fmt.Sprintf("there is a %s; expected %s", mismatch.Value, kindOf(mismatch.Type.Kind().String()))}
	case errors.As(err, &syntax):
		return &model.FieldError{Want: fmt.Sprintf("it is no JSON at byte %d (%v); expected a shop's settings", syntax.Offset, err)}
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return &model.FieldError{Want: "it ends early; expected a shop's settings, a JSON object"}
	}
	if name, found := strings.CutPrefix(err.Error(), "json: unknown field "); found {
		return &model.FieldError{Field: strings.Trim(name, `"`), Want: "there is no such setting; bendbook settings prints those that there are"}
	}
	return &model.FieldError{Want: err.Error()}
}

func kindOf(kind string) string {
	switch kind {
	case "string":
		return "text"
	case "bool":
		return "true or false"
	case "slice":
		return "a list"
	case "struct":
		return "an object"
	}
	return "a number"
}

func (d settingsDoc) settings() (Settings, error) {
	if err := model.CheckUnits(d.Units); err != nil {
		return Settings{}, err
	}
	s := Settings{
		Units: d.Units, Every: d.Every, Dates: date.Order(d.Dates), Screen: d.Screen, Mark: d.Mark, Number: d.Number, Card: d.Card,
		Sanding: d.Units.Force.Force(d.Allowances.Sanding), Settling: d.Units.Force.Force(d.Allowances.Settling),
		ArrowLimit: d.Units.Length.Length(d.Longbow.ArrowLimit),
	}
	if d.Dates == datesAsTerminal {
		s.Dates = ""
	}
	var ok bool
	if s.Hold, ok = measure.Seconds(d.Tree.Hold); !ok {
		return s, wrong("tree.hold_seconds", "%s", holdWanted())
	}
	for i, stage := range d.Stages {
		if !(stage.Rest >= 0 && stage.Rest <= LongestRest.Hours()) {
			return s, wrong(fmt.Sprintf("stages[%d].rest_hours", i), "expected hours from 0 to %g", LongestRest.Hours())
		}
		s.Stages = append(s.Stages, Stage{
			Name: strings.TrimSpace(stage.Name), Seen: stage.Seen, Must: stage.Must, Wood: stage.Wood, Coats: stage.Coats, Grits: stage.Grits,
			Rest: time.Duration(stage.Rest * float64(time.Hour)),
		})
	}
	return s, nil
}

// datesAsTerminal stands in the document where the terminal's language decides.
const datesAsTerminal = "as the terminal"

// Document is the settings as they are read and changed, lengths and forces in the shop's units.
func (s Settings) Document() ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(document(s)); err != nil {
		return nil, fmt.Errorf("writing the settings: %w", err)
	}
	return b.Bytes(), nil
}

func document(s Settings) settingsDoc {
	units := s.Units
	d := settingsDoc{
		Format: Format, Version: Version, Units: units, Every: s.Every, Dates: cmp.Or(string(s.Dates), datesAsTerminal),
		Screen: s.Screen, Mark: s.Mark, Number: s.Number, Card: s.Card,
		Allowances: allowancesDoc{s.Sanding.In(units.Force), s.Settling.In(units.Force)},
		Longbow:    longbowDoc{s.ArrowLimit.In(units.Length)},
		Tree:       treeDoc{s.Hold.Seconds()},
	}
	for _, stage := range s.Stages {
		d.Stages = append(d.Stages, stageDoc{
			Name: stage.Name, Seen: stage.Seen, Must: stage.Must, Wood: stage.Wood, Coats: stage.Coats, Grits: stage.Grits, Rest: stage.Rest.Hours(),
		})
	}
	return d
}
