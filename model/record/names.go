package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"bendbook/model"
)

// ownNames are the names of the fields that the format knows.
func ownNames() map[string]bool {
	names := map[string]bool{
		"format": true, "version": true, "units": true, "length": true, "force": true, "bow": true, "entries": true,
	}
	c := &codec{names: names}
	c.bow(&model.Bow{})
	c.head(&model.Entry{}, new(model.Kind))
	for _, kind := range model.Kinds() {
		c.event(kind, nil)
	}
	return names
}

const (
	deepest   = 64 // levels of objects and lists that a record may have; its own fields need six
	mostNamed = 7  // levels that an error names below the top
)

// checkNames refuses a document in which an object has a field twice, since only one would be read, or a
// known field in capital letters, since the decoder would accept it and edits would not. It also refuses
// documents nested deeper than any record. doc must be valid JSON.
func checkNames(doc []byte) error {
	dec := json.NewDecoder(bytes.NewReader(doc))
	dec.UseNumber()
	return checkValue(dec, ownNames(), deepest)
}

// checkValue checks the next value. own are the format's names, nil inside an unknown field; more is how many
// levels the value may have.
func checkValue(dec *json.Decoder, own map[string]bool, more int) error {
	// Reading valid JSON cannot fail.
	open, _ := dec.Token()
	delim, _ := open.(json.Delim)
	if delim == 0 {
		return nil
	}
	if more == 0 {
		return model.Fault("", "it is nested too deep; expected %d levels at most", deepest)
	}
	seen := make(map[string]bool)
	for i := 0; dec.More(); i++ {
		name, inner := "", own
		if delim == '{' {
			token, _ := dec.Token()
			name, _ = token.(string)
			if wrong := wrongName(name, seen, own); wrong != "" {
				return model.Fault(spellName(name), "%s", wrong)
			}
			if seen[name] = true; !own[name] {
				inner = nil
			}
		}
		if err := checkValue(dec, inner, more-1); err != nil {
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

// wrongName says what is wrong with a field's name; "" for nothing.
func wrongName(name string, seen, own map[string]bool) string {
	if seen[name] {
		return "it stands twice; expected each field once"
	}
	if own[name] {
		return ""
	}
	for ours := range own {
		if strings.EqualFold(ours, name) {
			return "expected the spelling " + ours
		}
	}
	return ""
}

// spellName prepares a field's name for an error: quoted unless it looks like one of ours.
func spellName(name string) string {
	const plain = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-"
	if name != "" && strings.Trim(name, plain) == "" {
		return shorten(name)
	}
	return fmt.Sprintf("%q", shorten(name))
}
