package form

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
)

// field is one question about a T: how T's own value is filled in, and how an answer changes it. The bow has
// the units in which it is typed.
type field[T any] struct {
	Question
	path   string                                      // as a model.FieldError names it
	print  func(of model.Bow, v T) string              // "" where it is not known
	set    func(of model.Bow, v *T, text string) error // "" leaves it out
	hidden bool                                        // it stands on the sheet only where it is answered
}

// optionalField is the field of a value that may be missing.
func optionalField[T, V any](path string, q Question, n notation[V],
	at func(*T) *measure.Optional[V]) field[T] {
	q.measures = max(q.measures, n.what)
	return field[T]{
		Question: named(path, q), path: path,
		print: func(of model.Bow, v T) string {
			return optional(*at(&v), func(known V) string { return n.print(of, known) })
		},
		set: func(of model.Bow, v *T, text string) (err error) {
			*at(v), err = parsed(text, func(text string) (V, error) { return n.parse(of, text) })
			return err
		},
	}
}

// valueField is the field of a value that is always there, if only as 0.
func valueField[T, V any](path string, q Question, n notation[V], at func(*T) *V) field[T] {
	q.measures = max(q.measures, n.what)
	return field[T]{
		Question: named(path, q), path: path,
		print: func(of model.Bow, v T) string { return n.print(of, *at(&v)) },
		set: func(of model.Bow, v *T, text string) error {
			made, err := parsed(text, func(text string) (V, error) { return n.parse(of, text) })
			var none V
			*at(v) = made.Or(none)
			return err
		},
	}
}

// textField is the field of a short text, or of one of the question's choices.
func textField[T any, S ~string](path string, q Question, at func(*T) *S) field[T] {
	return field[T]{
		Question: named(path, q), path: path,
		print: func(_ model.Bow, v T) string { return plain.Line(string(*at(&v))) },
		set: func(_ model.Bow, v *T, text string) error {
			*at(v) = S(text)
			if len(text) > model.LongestName {
				return fmt.Errorf("that is too long; expected some %d plain letters at most", model.LongestName)
			}
			return nil
		},
	}
}

// wordsField is the field of a text of any length, kept to the letter.
func wordsField[T any](path string, q Question, at func(*T) *string) field[T] {
	return field[T]{
		Question: named(path, q), path: path,
		print: func(_ model.Bow, v T) string { return *at(&v) },
		set:   func(_ model.Bow, v *T, text string) error { *at(v) = text; return nil },
	}
}

// sideField is the field of a limb.
func sideField[T any](path string, q Question, at func(*T) *model.Side) field[T] {
	q.Choices, q.Hint = sideNames(), "1 upper or 2 lower"
	return field[T]{
		Question: named(path, q), path: path,
		print: func(_ model.Bow, v T) string { return at(&v).String() },
		set: func(_ model.Bow, v *T, text string) error {
			*at(v) = model.Side(max(0, slices.Index(q.Choices, text)))
			return nil
		},
	}
}

// named is the question under the last part of its path, by which drafts know it, unless it has a name; and
// under that as its label, unless it has one.
func named(path string, q Question) Question {
	q.Name = cmp.Or(q.Name, path[strings.LastIndexByte(path, '.')+1:])
	q.Label = cmp.Or(q.Label, strings.ReplaceAll(q.Name, "_", " "))
	return q
}

// parsed reads an answer; "" is an unread one.
func parsed[T any](text string, parse func(string) (T, error)) (measure.Optional[T], error) {
	if text == "" {
		return measure.Optional[T]{}, nil
	}
	v, err := parse(text)
	if err != nil {
		return measure.Optional[T]{}, err
	}
	return measure.Some(v), nil
}

func optional[T any](v measure.Optional[T], say func(T) string) string {
	if value, known := v.Get(); known {
		return say(value)
	}
	return ""
}
