package finish

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// Field is one value among the settings: where it stands, how it is asked for, and what it can be.
type Field struct {
	Path  string // in the document: "mark.round", "stages[2].coats"
	Label string
	Hint  string // what would be accepted; "" where the choices say it
	Unit  string // of a bare number
	Must  bool   // may not be left out

	Choices     []string // names that it is chosen by, nil for free answers
	values      []string // what the document has for them
	every       string   // of a unit: path of whether it holds for every bow although it is the usual one
	least, most float64  // of a number; most of a text, in bytes
	want        string   // what is expected of a number beyond them, or of a text that is missing
	judge       func(Settings, string) string
	told        string // how a stage is told of by it
}

// asDescribed chooses, for a unit, that of each bow's own description.
const asDescribed = "as described"

// oneOf is a field with choices, "day month year=day-month-year" where the document has another word for it.
func oneOf(path, label string, choices ...string) Field {
	f := Field{Path: path, Label: label}
	for _, choice := range choices {
		name, value, differs := strings.Cut(choice, "=")
		if !differs {
			value = name
		}
		f.Choices, f.values = append(f.Choices, name), append(f.values, value)
	}
	return f
}

func (f Field) hinted(hint, told string) Field {
	f.Hint, f.told = hint, told
	return f
}

// name is what a value of the document is called on screen.
func (f Field) name(value string) string {
	if i := slices.Index(f.values, value); i >= 0 {
		return f.Choices[i]
	}
	return value
}

// lookup is the value at a path. A list that can be set grows to it; in another it is empty.
func lookup(v reflect.Value, path string) reflect.Value {
	for _, name := range strings.FieldsFunc(path, func(r rune) bool { return strings.ContainsRune(".[]", r) }) {
		if i, err := strconv.Atoi(name); err == nil {
			for v.Len() <= i && v.CanSet() {
				v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
			}
			if i >= v.Len() {
				return reflect.Zero(v.Type().Elem())
			}
			v = v.Index(i)
			continue
		}
		for i := range v.NumField() {
			if tag, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ","); tag == name {
				v = v.Field(i)
				break
			}
		}
	}
	return v
}

// Print is how a field stands, as it is typed.
func (f Field) Print(s Settings) string {
	v := lookup(reflect.ValueOf(s), f.Path)
	switch value := v.Interface().(type) {
	case measure.Force:
		text := strconv.FormatFloat(value.In(s.Units.Force), 'f', 3, 64)
		return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	case []int:
		return strings.ReplaceAll(strings.Trim(fmt.Sprint(value), "[]"), " ", ", ")
	}
	if (v.CanInt() || v.CanFloat()) && v.IsZero() {
		return ""
	}
	text := fmt.Sprint(v.Interface())
	if f.every != "" && text == f.values[0] && !lookup(reflect.ValueOf(s), f.every).Bool() {
		return asDescribed
	}
	return f.name(text)
}

// Parse takes in what was typed; nothing chooses the first choice.
func (f Field) Parse(to *Settings, text string) error {
	v := lookup(reflect.ValueOf(to).Elem(), f.Path)
	if f.every != "" {
		lookup(reflect.ValueOf(to).Elem(), f.every).SetBool(text == f.Choices[0])
	}
	if f.Choices != nil {
		text = f.values[max(0, slices.Index(f.Choices, text))]
	}
	switch v.Interface().(type) {
	case measure.Force:
		force, err := measure.ParseForce(text, to.Units.Force)
		v.SetFloat(float64(force))
		return err
	case []int:
		return parseGrits(v, text)
	case int, float64:
		return f.parseNumber(v, text)
	case bool:
		v.SetBool(text == "true")
	default:
		v.SetString(text)
	}
	return nil
}

func (f Field) parseNumber(v reflect.Value, text string) error {
	if v.SetZero(); text == "" && f.least == 0 {
		return nil
	}
	number, err := strconv.ParseFloat(strings.Replace(strings.TrimRight(text, " hs"), ",", ".", 1), 64)
	if err != nil {
		return fmt.Errorf("%q isn't a number", text)
	}
	if v.Set(reflect.ValueOf(number).Convert(v.Type())); v.CanInt() && float64(v.Int()) != number {
		return fmt.Errorf("%q is no whole number", text)
	}
	return nil
}

func parseGrits(v reflect.Value, text string) error {
	var grits []int
	for _, text := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",; ", r) }) {
		grit, err := strconv.Atoi(text)
		if err != nil {
			return fmt.Errorf("%q is no grit; expected numbers such as 80, 120, 240", text)
		}
		grits = append(grits, grit)
	}
	v.Set(reflect.ValueOf(grits))
	return nil
}

// Want is what is expected instead; "" for a value that can be.
func (f Field) Want(s Settings) string {
	v := lookup(reflect.ValueOf(s), f.Path)
	text := fmt.Sprint(v.Interface())
	switch {
	case f.judge != nil:
		return cmp.Or(f.judge(s, text), f.wantLine(text))
	case f.Choices != nil && !slices.Contains(f.values, text):
		words := strings.TrimPrefix(strings.Join(f.values, ", "), ", ")
		last := strings.LastIndex(words, ", ")
		return fmt.Sprintf("expected %s or %s", words[:last], words[last+2:])
	case f.Choices != nil || v.Kind() == reflect.Slice:
		return ""
	case v.Kind() == reflect.String:
		return f.wantLine(text)
	}
	number := v.Convert(reflect.TypeFor[float64]()).Float()
	return expect(number >= f.least && number <= f.most, "%s", f.want)
}

func (f Field) wantLine(text string) string {
	return cmp.Or(
		expect(text != "" || f.want == "", "%s", f.want),
		expect(len(text) <= int(f.most), "it is longer than %g bytes", f.most),
		expect(text == plain.Line(text), "expected a line of plain letters"),
	)
}

// expect is what is expected where a value cannot be, "" where it can.
func expect(can bool, format string, args ...any) string {
	if can {
		return ""
	}
	return fmt.Sprintf(format, args...)
}
