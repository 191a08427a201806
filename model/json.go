package model

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
)

// JSONFault says in plain words why what, such as "a bow record", could not be decoded. A failure to read is
// no *FieldError.
func JSONFault(err error, what string) error {
	var mismatch *json.UnmarshalTypeError
	var syntax *json.SyntaxError
	name, unknown := strings.CutPrefix(err.Error(), "json: unknown field ")
	switch {
	case errors.As(err, &mismatch):
		return Fault(mismatch.Field, "%s: write %s", found(mismatch), typeName(mismatch.Type))
	case errors.Is(err, io.EOF):
		return Fault("", "it is empty: give %s (JSON)", what)
	case errors.Is(err, io.ErrUnexpectedEOF):
		return Fault("", "it ends in the middle of %s: add the rest", what)
	case errors.As(err, &syntax):
		return Fault("", "it is not JSON at byte %d (%v): give %s", syntax.Offset, syntax, what)
	case unknown:
		return Fault(Shortened(strings.Trim(name, `"`)), "there is no such field in %s", what)
	}
	return fmt.Errorf("reading %s: %w", what, err)
}

// found says what the document has where the types don't match.
func found(mismatch *json.UnmarshalTypeError) string {
	number, isNumber := strings.CutPrefix(mismatch.Value, "number ")
	switch {
	case isNumber && mismatch.Type.Kind() == reflect.Float64:
		return Shortened(number) + " is beyond any measure"
	case isNumber:
		return "found the number " + Shortened(number)
	case strings.HasPrefix(mismatch.Value, "a"), strings.HasPrefix(mismatch.Value, "o"):
		return "found an " + mismatch.Value
	}
	return "found a " + mismatch.Value
}

func typeName(t reflect.Type) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	names := map[reflect.Kind]string{reflect.Float64: "a number", reflect.Int: "a whole number",
		reflect.String: "text", reflect.Bool: "true or false", reflect.Slice: "a list"}
	return cmp.Or(names[t.Kind()], "an object")
}

// Shortened keeps a stranger's text from filling an error message.
func Shortened(text string) string {
	const most = 40
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return text
}
