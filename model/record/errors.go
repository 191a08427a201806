package record

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"

	"bendbook/model"
)

// errNewer is wrapped when a record's version is higher than ourVersion.
var errNewer = errors.New("the record was written by a newer Bendbook")

// within puts the path of the enclosing field before the field of err.
func within(path string, err error) error {
	var field *model.FieldError
	if errors.As(err, &field) {
		return field.Within(path)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}

// noJSON says in plain words why the input cannot be read as JSON.
func noJSON(err error) error {
	var syntax *json.SyntaxError
	switch {
	case errors.Is(err, io.EOF):
		return model.Fault("", "it is empty: give a bow record (JSON)")
	case errors.Is(err, io.ErrUnexpectedEOF):
		return model.Fault("", "it ends in the middle of a record: add the rest")
	case errors.As(err, &syntax):
		return model.Fault("", "it is not JSON at byte %d (%v): give a bow record", syntax.Offset, syntax)
	}
	return fmt.Errorf("reading the record: %w", err)
}

// unmarshal decodes doc and turns a mismatch of types into a model.FieldError.
func unmarshal(doc []byte, into any) error {
	err := json.Unmarshal(doc, into)
	var mismatch *json.UnmarshalTypeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &mismatch):
		return model.Fault(mismatch.Field, "%s: write %s", found(mismatch), typeName(mismatch.Type))
	}
	return model.Fault("", "%v", err)
}

// found says what the record has where the types don't match.
func found(mismatch *json.UnmarshalTypeError) string {
	number, isNumber := strings.CutPrefix(mismatch.Value, "number ")
	switch {
	case isNumber && mismatch.Type.Kind() == reflect.Float64:
		return fmt.Sprintf("%s is beyond any measure", shorten(number))
	case isNumber:
		return fmt.Sprintf("found the number %s", shorten(number))
	case strings.HasPrefix(mismatch.Value, "a"), strings.HasPrefix(mismatch.Value, "o"):
		return fmt.Sprintf("found an %s", mismatch.Value)
	}
	return fmt.Sprintf("found a %s", mismatch.Value)
}

func typeName(t reflect.Type) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	names := map[reflect.Kind]string{reflect.Float64: "a number", reflect.Int: "a whole number",
		reflect.String: "text", reflect.Bool: "true or false", reflect.Slice: "a list"}
	return cmp.Or(names[t.Kind()], "an object")
}

// shorten keeps a stranger's text from filling an error message.
func shorten(text string) string {
	const most = 40
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return text
}
