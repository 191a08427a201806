package finish

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// field is one value among the settings: where it stands, how it is asked for, and what it can be.
type field struct {
	Path  string // in the document: "mark.round", "stages[2].coats"
	Label string
	Hint  string // what would be accepted; "" where the choices say it
	Unit  string // of a bare number
	Must  bool   // may not be left out

	Choices     []string // nil where any answer will do
	values      []string // the document's words for the choices
	every       string   // of a unit: path of the flag that shows every bow in it although it is the usual one
	least, most float64  // of a number; most is also a text's length in bytes
	want        string   // expected instead of a number out of bounds or a missing text
	judge       func(Settings, string) string
	told        string // how a stage's value shows it
}

// asDescribed chooses the unit of each bow's own description.
const asDescribed = "as described"

// oneOf is a field with choices: "day month year=day-month-year" where the document's word differs.
func oneOf(path, label string, choices ...string) field {
	f := field{Path: path, Label: label}
	for _, choice := range choices {
		name, value, differs := strings.Cut(choice, "=")
		if !differs {
			value = name
		}
		f.Choices, f.values = append(f.Choices, name), append(f.values, value)
	}
	return f
}

func (f field) hinted(hint, told string) field {
	f.Hint, f.told = hint, told
	return f
}

// name is the choice that stands for a value of the document.
func (f field) name(value string) string {
	if i := slices.Index(f.values, value); i >= 0 {
		return f.Choices[i]
	}
	return value
}

// lookup finds the value at a path, which must exist in Settings. A list grows until it has the index.
func lookup(s *Settings, path string) reflect.Value {
	v := reflect.ValueOf(s).Elem()
	for _, name := range strings.FieldsFunc(path, func(r rune) bool { return strings.ContainsRune(".[]", r) }) {
		if i, err := strconv.Atoi(name); err == nil {
			for v.Len() <= i {
				whole := v.Slice3(0, v.Len(), v.Len()) // growing must not write into an array that others use
				v.Set(reflect.Append(whole, reflect.Zero(v.Type().Elem())))
			}
			v = v.Index(i)
			continue
		}
		for field, part := range v.Fields() {
			if tag, _, _ := strings.Cut(field.Tag.Get("json"), ","); tag == name {
				v = part
				break
			}
		}
	}
	return v
}

// Print is the field's value as the maker would type it.
func (f field) Print(s Settings) string {
	v := lookup(&s, f.Path)
	switch value := v.Interface().(type) {
	case percent:
		return strconv.FormatFloat(math.Round(1000*float64(value))/1000, 'f', -1, 64)
	case []int:
		return strings.ReplaceAll(strings.Trim(fmt.Sprint(value), "[]"), " ", ", ")
	}
	if (v.CanInt() || v.CanFloat()) && v.IsZero() {
		return ""
	}
	text := fmt.Sprint(v.Interface())
	if f.every != "" && text == f.values[0] && !lookup(&s, f.every).Bool() {
		return asDescribed
	}
	return f.name(text)
}

// parse sets the field to what was typed; an empty text takes the first choice.
func (f field) parse(to *Settings, text string) error {
	v := lookup(to, f.Path)
	if f.every != "" {
		lookup(to, f.every).SetBool(text == f.Choices[0])
	}
	if f.Choices != nil {
		text = f.values[max(0, slices.Index(f.Choices, text))]
	}
	switch f.Path {
	case "tree.reads_high":
		text = asShare(text)
	case "tree.tare":
		if text != "0" && measure.ForceNamed(text) == "" {
			text += to.Units.Force.Symbol()
		}
	case "tree.hook_off", "photo.away":
		if text != "0" && measure.LengthNamed(text) == "" {
			text += string(to.Units.Length)
		}
	}
	switch v.Interface().(type) {
	case []int:
		return parseGrits(v, text)
	case int, float64, percent:
		return f.parseNumber(v, text)
	case bool:
		v.SetBool(text == "true")
	default:
		v.SetString(text)
	}
	return nil
}

// asShare is by how many percent the first of two readings is above the second: 44 40 is 10; else the text.
func asShare(text string) string {
	words := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" /;%", r) })
	if len(words) != 2 {
		return text
	}
	rope, err := strconv.ParseFloat(strings.Replace(words[0], ",", ".", 1), 64)
	hook, otherErr := strconv.ParseFloat(strings.Replace(words[1], ",", ".", 1), 64)
	if err != nil || otherErr != nil || hook <= 0 {
		return text
	}
	return strconv.FormatFloat(100*(rope/hook-1), 'f', 2, 64)
}

func (f field) parseNumber(v reflect.Value, text string) error {
	if v.SetZero(); text == "" && f.least == 0 {
		return nil
	}
	number, err := strconv.ParseFloat(strings.Replace(strings.TrimRight(text, " hs%"), ",", ".", 1), 64)
	if err != nil {
		return fmt.Errorf("%q isn't a number", text)
	}
	if v.Set(reflect.ValueOf(number).Convert(v.Type())); v.CanInt() && float64(v.Int()) != number {
		return fmt.Errorf("%q isn't a whole number", text)
	}
	return nil
}

func parseGrits(v reflect.Value, text string) error {
	var grits []int
	for _, text := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",; ", r) }) {
		grit, err := strconv.Atoi(text)
		if err != nil {
			return fmt.Errorf("%q isn't a grit: type numbers such as 80, 120, 240", text)
		}
		grits = append(grits, grit)
	}
	v.Set(reflect.ValueOf(grits))
	return nil
}

// wants says what the field expects, or "" if its value is fine.
func (f field) wants(s Settings) string {
	v := lookup(&s, f.Path)
	text := fmt.Sprint(v.Interface())
	switch {
	case f.judge != nil:
		return cmp.Or(f.judge(s, text), f.wantLine(text))
	case f.Choices != nil && !slices.Contains(f.values, text):
		words := strings.TrimPrefix(strings.Join(f.values, ", "), ", ")
		last := strings.LastIndex(words, ", ")
		return fmt.Sprintf("choose %s or %s", words[:last], words[last+2:])
	case f.Choices != nil || v.Kind() == reflect.Slice:
		return ""
	case v.Kind() == reflect.String:
		return f.wantLine(text)
	}
	number := v.Convert(reflect.TypeFor[float64]()).Float()
	return expect(number >= f.least && number <= f.most, "%s", f.want)
}

func (f field) wantLine(text string) string {
	return cmp.Or(
		expect(text != "" || f.want == "", "%s", f.want),
		expect(len(text) <= int(f.most), "it is longer than %g bytes", f.most),
		expect(text == plain.Line(text), "type one line of plain letters"),
	)
}

// expect is the text unless ok, else "".
func expect(ok bool, format string, args ...any) string {
	if ok {
		return ""
	}
	return fmt.Sprintf(format, args...)
}
