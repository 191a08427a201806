package finish

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// Field is one value in an S, the settings or a stage: how it is asked for, printed, parsed and checked.
type Field[S any] struct {
	Path    string // in the document: "mark.round"
	Label   string
	Hint    string   // what would be accepted; "" where the choices say it
	Unit    string   // of a bare number
	Choices []string // nil for free answers
	Must    bool     // may not be left out
	Print   func(S) string
	Parse   func(to *S, text string) error
	Want    func(S) string // what is expected instead; "" for a value that can be
}

// expect is what is expected where a value cannot be, "" where it can.
func expect(can bool, format string, args ...any) string {
	if can {
		return ""
	}
	return fmt.Sprintf(format, args...)
}

// option is a value under the name by which it is chosen.
type option[T any] struct {
	name  string
	value T
}

func yesOrNo() []option[bool] { return []option[bool]{{"no", false}, {"yes", true}} }

// named are values that go by their own names.
func named[T ~string](values ...T) (all []option[T]) {
	for _, v := range values {
		all = append(all, option[T]{string(v), v})
	}
	return all
}

// choose is a field that is chosen among options; an empty answer chooses the first.
func choose[S any, T comparable](path string, options []option[T], get func(S) T, set func(*S, T)) Field[S] {
	var names, values []string
	for _, o := range options {
		names, values = append(names, o.name), append(values, fmt.Sprint(o.value))
	}
	last := len(values) - 1
	find := func(v T) int { return slices.IndexFunc(options, func(o option[T]) bool { return o.value == v }) }
	return Field[S]{
		Path: path, Choices: names,
		Print: func(s S) string { return names[max(0, find(get(s)))] },
		Parse: func(to *S, text string) error {
			set(to, options[max(0, slices.Index(names, text))].value)
			return nil
		},
		Want: func(s S) string {
			return expect(find(get(s)) >= 0, "expected %s or %s", strings.Join(values[:last], ", "), values[last])
		},
	}
}

// chooseAt is choose where the value stands at one place.
func chooseAt[S any, T comparable](path string, options []option[T], at func(*S) *T) Field[S] {
	return choose(path, options, func(s S) T { return *at(&s) }, func(to *S, v T) { *at(to) = v })
}

// text is a line of text, judged by want.
func text[S any](path, hint string, at func(*S) *string, want func(string) string) Field[S] {
	return Field[S]{
		Path: path, Hint: hint,
		Print: func(s S) string { return *at(&s) },
		Parse: func(to *S, text string) error { *at(to) = text; return nil },
		Want:  func(s S) string { return want(*at(&s)) },
	}
}

// lineUpTo expects a line of text that is no longer than most bytes.
func lineUpTo(most int) func(string) string {
	return func(text string) string {
		if len(text) > most {
			return fmt.Sprintf("it is longer than %d bytes", most)
		}
		return expect(text == plain.Line(text), "expected a line of plain letters")
	}
}

// number is a number from least to most, expected as want says. One that may be 0 is left out by an empty answer.
func number[S any, T int | float64](path, hint string, at func(*S) *T, least, most T, want string) Field[S] {
	return Field[S]{
		Path: path, Hint: hint,
		Print: func(s S) string {
			if *at(&s) == 0 && least == 0 {
				return ""
			}
			return strconv.FormatFloat(float64(*at(&s)), 'f', -1, 64)
		},
		Parse: func(to *S, text string) error {
			if *at(to) = 0; text == "" && least == 0 {
				return nil
			}
			v, err := strconv.ParseFloat(strings.Replace(strings.TrimRight(text, " hs"), ",", ".", 1), 64)
			if err != nil {
				return fmt.Errorf("%q is no number", text)
			}
			if *at(to) = T(v); float64(T(v)) != v {
				return fmt.Errorf("%q is no whole number", text)
			}
			return nil
		},
		Want: func(s S) string { return expect(*at(&s) >= least && *at(&s) <= most, "%s", want) },
	}
}

// weight is what is taken off the draw weight, in the shop's unit.
func weight(path string, unit measure.ForceUnit, at func(*Settings) *measure.Force) Field[Settings] {
	example := map[measure.ForceUnit]string{measure.PoundForce: "1.5", measure.KilogramForce: "0.5", measure.Newton: "5"}[unit]
	const most = 20 // lbf, against slips of the hand
	return Field[Settings]{
		Path: path, Unit: unit.Symbol(), Hint: fmt.Sprintf("a weight, such as %s or 1lb; 0 for nothing", example),
		Print: func(s Settings) string {
			text := strconv.FormatFloat(at(&s).In(s.Units.Force), 'f', 3, 64)
			return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
		},
		Parse: func(to *Settings, text string) (err error) {
			*at(to), err = measure.ParseForce(text, to.Units.Force)
			return err
		},
		Want: func(s Settings) string {
			return expect(*at(&s) >= 0 && *at(&s) <= most, "expected a weight from 0 to %d lb", most)
		},
	}
}

// lines are fields for the lines of a list, for as many as are usual and for one more. A line that is left empty
// is left out once all are parsed.
func lines(path string, at func(*Settings) *[]string, count int) (all []Field[Settings]) {
	const most, longest = 60, 400
	for i := range count + 1 {
		all = append(all, Field[Settings]{
			Path: fmt.Sprintf("%s[%d]", path, i), Label: strconv.Itoa(i + 1),
			Hint: "a line of the card, such as Draw weight: {weight} at {draw} {draw_to}; empty it to leave it out",
			Print: func(s Settings) string {
				return strings.Join((*at(&s))[min(i, len(*at(&s))):min(i+1, len(*at(&s)))], "")
			},
			Parse: func(to *Settings, text string) error {
				lines := append(*at(to), make([]string, max(0, i+1-len(*at(to))))...)
				if lines[i] = text; i == count {
					lines = slices.DeleteFunc(lines, func(line string) bool { return line == "" })
				}
				*at(to) = lines
				return nil
			},
			Want: func(s Settings) string {
				if i >= len(*at(&s)) {
					return ""
				}
				return cmp.Or(expect(len(*at(&s)) <= most, "expected %d lines at most", most), lineUpTo(longest)((*at(&s))[i]))
			},
		})
	}
	return all
}
