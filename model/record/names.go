package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"

	"bendbook/model/measure"
)

// ownNames are the names of the format's own fields.
var ownNames = collectNames(map[string]bool{"format": true, "version": true, "units": true, "bow": true, "entries": true},
	reflect.TypeFor[struct {
		_ bowDoc
		_ measure.Units
		_ relaxedDoc
		_ stringDoc
		_ bracedDoc
		_ pullDoc
		_ scrapeDoc
		_ exerciseDoc
		_ finishDoc
		_ moistureDoc
		_ noteDoc
		_ voidDoc
		_ editDoc
		_ rackDoc
	}]())

func collectNames(names map[string]bool, t reflect.Type) map[string]bool {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return names
	}
	for i := range t.NumField() {
		if name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ","); name != "" {
			names[name] = true
		}
		collectNames(names, t.Field(i).Type)
	}
	return names
}

const (
	deepest   = 64 // levels of objects and lists that a record may have; its own fields need six
	mostNamed = 7  // levels that an error names below the top
)

// checkNames refuses a document in which an object has a field twice, for one would be read and the other lost from
// sight, or a field of the format in capital letters, for the decoder would take it and the edits would not. It also
// refuses what is nested deeper than any record. doc must be valid JSON.
func checkNames(doc []byte) error {
	dec := json.NewDecoder(bytes.NewReader(doc))
	dec.UseNumber()
	return checkValue(dec, true, deepest)
}

// checkValue checks the next value. ours says that it is a part of the format, not of a field that this version does
// not know; more is how many levels may be in it.
func checkValue(dec *json.Decoder, ours bool, more int) error {
	// Reading valid JSON cannot fail.
	open, _ := dec.Token()
	delim, _ := open.(json.Delim)
	if delim == 0 {
		return nil
	}
	if more == 0 {
		return fieldError("", "it is nested too deep; expected %d levels at most", deepest)
	}
	seen := make(map[string]bool)
	for i := 0; dec.More(); i++ {
		name, holdsOurs := "", ours
		if delim == '{' {
			token, _ := dec.Token()
			name, _ = token.(string)
			if wrong := wrongName(name, seen, ours); wrong != "" {
				return fieldError(spellName(name), "%s", wrong)
			}
			seen[name], holdsOurs = true, ours && ownNames[name]
		}
		if err := checkValue(dec, holdsOurs, more-1); err != nil {
			path := fmt.Sprintf("[%d]", i)
			if delim == '{' {
				path = spellName(name)
			}
			switch level := deepest - more; {
			case level == mostNamed:
				path += "…"
			case level > mostNamed:
				path = ""
			}
			return within(path, err)
		}
	}
	_, _ = dec.Token() // what closes it
	return nil
}

// wrongName says what is wrong with the name of a field; "" is nothing.
func wrongName(name string, seen map[string]bool, ours bool) string {
	if seen[name] {
		return "it stands twice; expected each field once"
	}
	if ours && !ownNames[name] {
		for own := range ownNames {
			if strings.EqualFold(own, name) {
				return "expected the spelling " + own
			}
		}
	}
	return ""
}

// spellName is a field's name as an error may show it: as it is where it looks like one of ours.
func spellName(name string) string {
	if name != "" && strings.Trim(name, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-") == "" {
		return shorten(name)
	}
	return fmt.Sprintf("%q", shorten(name))
}
