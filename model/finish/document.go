package finish

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"

	"bendbook/model"
)

// What stands at the head of a shop's settings.
const (
	ourFormat  = "bendbook/shop"
	ourVersion = 1
)

// mostBytes is the longest document that is read.
const mostBytes = 1 << 20

// Document writes the settings as JSON.
func (s Settings) Document() ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(s); err != nil {
		return nil, fmt.Errorf("writing the settings: %w", err)
	}
	return b.Bytes(), nil
}

// Parse reads settings from their document; what is left out is as usual. The error is a *model.FieldError.
func Parse(doc []byte) (Settings, error) {
	if len(doc) > mostBytes {
		return Settings{}, model.Fault("", "it is too long for a shop's settings")
	}
	s := Usual()
	stages := s.Stages
	// Without nil here, fields that a stage leaves out would be those of the usual stage in its place.
	s.Format, s.Version, s.Stages = "", 0, nil
	dec := json.NewDecoder(bytes.NewReader(doc))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&s); err != nil {
		return Settings{}, unread(err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return Settings{}, model.Fault("", "something stands behind the settings; expected one JSON object")
	}
	if err := cmp.Or(s.checkHead(), model.CheckUnits(s.Units)); err != nil {
		return Settings{}, err
	}
	s.Allowances, s.Longbow = s.Allowances.inShares(s.Units.Force), nil
	if s.Stages == nil {
		s.Stages = stages
	}
	for i := range s.Stages {
		s.Stages[i].Name = strings.TrimSpace(s.Stages[i].Name)
	}
	return s, s.Check()
}

func (s Settings) checkHead() error {
	switch {
	case s.Format != ourFormat:
		return model.Fault("format", "%.40q is no shop's settings; expected %q", s.Format, ourFormat)
	case s.Version != ourVersion:
		return model.Fault("version", "%d is not known here; expected %d", s.Version, ourVersion)
	}
	return nil
}

// unread puts an error of the decoder in plain words.
func unread(err error) error {
	var mismatch *json.UnmarshalTypeError
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &mismatch):
		kinds := map[reflect.Kind]string{
			reflect.String: "text", reflect.Bool: "true or false",
			reflect.Slice: "a list", reflect.Struct: "an object",
		}
		want := cmp.Or(kinds[mismatch.Type.Kind()], "a number")
		return model.Fault(mismatch.Field, "there is a %s; expected %s", mismatch.Value, want)
	case errors.As(err, &syntax):
		return model.Fault("", "it is no JSON at byte %d (%v); expected a shop's settings", syntax.Offset, err)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return model.Fault("", "it ends early; expected a shop's settings, a JSON object")
	}
	if name, found := strings.CutPrefix(err.Error(), "json: unknown field "); found {
		const want = "there is no such setting; bendbook settings prints those that there are"
		return model.Fault(strings.Trim(name, `"`), want)
	}
	return model.Fault("", "%v", err)
}
