package stave

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bendbook/model"
)

// fault is what is wrong at a field, and what was expected there.
func fault(field string, format string, args ...any) error {
	return &model.FieldError{Field: field, Want: fmt.Sprintf(format, args...)}
}

// An object is one JSON object of the document, with the path that leads to it.
type object struct {
	path   string
	fields map[string]json.RawMessage
}

// open reads an object that may have the known fields and no others: a field that is misspelt must not pass as one that
// was left out.
func open(path string, raw json.RawMessage, known ...string) (object, error) {
	o := object{path: path}
	if kind(raw) != '{' {
		return o, fault(path, "found %s; expected an object", nameOf(raw))
	}
	if err := json.Unmarshal(raw, &o.fields); err != nil {
		return o, fault(path, "it is no JSON object: %v", err)
	}
	for _, name := range slices.Sorted(mapKeys(o.fields)) {
		if !slices.Contains(known, name) {
			return o, fault(path, "the field %s is not known; expected one of %s", strconv.QuoteToASCII(shorten(name)), strings.Join(known, ", "))
		}
	}
	return o, nil
}

func mapKeys(m map[string]json.RawMessage) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// at is the path of a field.
func (o object) at(name string) string {
	if o.path == "" {
		return name
	}
	return o.path + "." + name
}

// has tells whether a field is there and not null.
func (o object) has(name string) bool {
	raw, ok := o.fields[name]
	return ok && kind(raw) != 'n'
}

// need is the field, which must be there.
func (o object) need(name, want string) (json.RawMessage, error) {
	if !o.has(name) {
		return nil, fault(o.at(name), "it is missing; expected %s", want)
	}
	return o.fields[name], nil
}

// text is a field that must be text.
func (o object) text(name, want string) (string, error) {
	raw, err := o.need(name, want)
	if err != nil {
		return "", err
	}
	if kind(raw) != '"' {
		return "", fault(o.at(name), "found %s; expected %s", nameOf(raw), want)
	}
	var text string
	if err := json.Unmarshal(raw, &text); err != nil {
		return "", fault(o.at(name), "found no text; expected %s", want)
	}
	return text, nil
}

// number is a field that must be a number.
func (o object) number(name, want string) (float64, error) {
	raw, err := o.need(name, want)
	if err != nil {
		return 0, err
	}
	return number(o.at(name), raw, want)
}

// numbers is a field that must be a list of numbers, no longer than most.
func (o object) numbers(name, want string, most int) ([]float64, error) {
	raw, err := o.need(name, want)
	if err != nil {
		return nil, err
	}
	if kind(raw) != '[' {
		return nil, fault(o.at(name), "found %s; expected %s", nameOf(raw), want)
	}
	var items []json.RawMessage
	if err := json.Unmarshal(raw, &items); err != nil {
		return nil, fault(o.at(name), "it is no JSON list: %v", err)
	}
	if len(items) > most {
		return nil, fault(o.at(name), "it has %d values; expected at most %d", len(items), most)
	}
	list := make([]float64, len(items))
	for i, item := range items {
		if list[i], err = number(fmt.Sprintf("%s[%d]", o.at(name), i), item, "a number"); err != nil {
			return nil, err
		}
	}
	return list, nil
}

func number(path string, raw json.RawMessage, want string) (float64, error) {
	if k := kind(raw); k != '-' && (k < '0' || k > '9') {
		return 0, fault(path, "found %s; expected %s", nameOf(raw), want)
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(string(raw)), 64)
	if errors.Is(err, strconv.ErrRange) {
		return 0, fault(path, "%s is beyond any measure; expected %s", shorten(string(raw)), want)
	}
	if err != nil {
		return 0, fault(path, "%s is no number; expected %s", shorten(string(raw)), want)
	}
	return v, nil
}

// kind is the first letter of a JSON value, which tells what it is.
func kind(raw json.RawMessage) byte {
	for _, c := range raw {
		if c != ' ' && c != '\t' && c != '\n' && c != '\r' {
			return c
		}
	}
	return 'n'
}

// nameOf says what a JSON value is.
func nameOf(raw json.RawMessage) string {
	switch kind(raw) {
	case '{':
		return "an object"
	case '[':
		return "a list"
	case '"':
		return "text"
	case 't', 'f':
		return "true or false"
	case 'n':
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
