package form

import (
	"cmp"
	"errors"
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
)

// field asks for one value of a T. It prints the value and sets it from an answer, in the bow's units.
type field[T any] struct {
	Question
	path  string                                      // as a model.FieldError names it
	print func(of model.Bow, v T) string              // "" where it is not known
	set   func(of model.Bow, v *T, text string) error // "" leaves it out
}

// fieldOf makes a field. Unless the question has a name it gets the last part of the path, and that as its
// label unless it has one, and its choices as its hint.
func fieldOf[T any](path string, q Question, print func(model.Bow, T) string,
	set func(model.Bow, *T, string) error) field[T] {
	q.Name = cmp.Or(q.Name, path[strings.LastIndexByte(path, '.')+1:])
	q.Label = cmp.Or(q.Label, strings.ReplaceAll(q.Name, "_", " "))
	q.Hint = cmp.Or(q.Hint, list(1, q.Choices))
	return field[T]{Question: q, path: path, print: print, set: set}
}

func optionalField[T, V any](path string, q Question, n notation[V],
	at func(*T) *measure.Optional[V]) field[T] {
	q.measures = max(q.measures, n.what)
	return fieldOf(path, q, func(of model.Bow, v T) string { return n.say(of, *at(&v)) },
		func(of model.Bow, v *T, text string) (err error) {
			*at(v), err = n.read(of, text)
			return err
		})
}

// valueField asks for a value that is always there, if only as 0.
func valueField[T, V any](path string, q Question, n notation[V], at func(*T) *V) field[T] {
	q.measures = max(q.measures, n.what)
	return fieldOf(path, q, func(of model.Bow, v T) string { return n.print(of, *at(&v)) },
		func(of model.Bow, v *T, text string) error {
			made, err := n.read(of, text)
			var none V
			*at(v) = made.Or(none)
			return err
		})
}

func textField[T any, S ~string](path string, q Question, at func(*T) *S) field[T] {
	return fieldOf(path, q, func(_ model.Bow, v T) string { return plain.Line(string(*at(&v))) },
		func(_ model.Bow, v *T, text string) error {
			*at(v) = S(text)
			if len(text) > model.LongestName {
				return fmt.Errorf("that is too long: type %d plain letters at most", model.LongestName)
			}
			return nil
		})
}

// wordsField asks for a text of any length, kept to the letter.
func wordsField[T any](path string, q Question, at func(*T) *string) field[T] {
	return fieldOf(path, q, func(_ model.Bow, v T) string { return *at(&v) },
		func(_ model.Bow, v *T, text string) error {
			*at(v) = text
			return nil
		})
}

// readingField asks for a limb's i-th reading. Below says what is wrong with one below 0; "" takes it.
func readingField[T any](path string, q Question, below string, side model.Side, i int,
	at func(*T) *model.Readings) field[T] {
	n := exactLengths()
	return fieldOf(path, q, func(of model.Bow, v T) string { return n.say(of, at(&v).At(side, i)) },
		func(of model.Bow, v *T, text string) error {
			l, err := n.read(of, text)
			if below != "" && l.Or(0) < 0 {
				err = errors.New(below)
			}
			at(v)[side] = withReading(at(v)[side], i, l)
			return err
		})
}

// withReading returns a row with a reading at a station, as far as its last reading; the row itself stays.
func withReading(row []maybeLength, i int, l maybeLength) []maybeLength {
	out := make([]maybeLength, max(len(row), i+1))
	copy(out, row)
	out[i] = l
	for len(out) > 0 && !out[len(out)-1].Known() {
		out = out[:len(out)-1]
	}
	return out
}

// A table asks for a T by its fields: an event of a bow, or its description.
type table[T any] struct {
	of     model.Bow // in whose units it is asked
	was    T         // what is not asked, or left as it was filled in, is as here
	fields []field[T]
	// strings are the bow's, as the sheet is answered; nil where it hangs on none.
	strings func(s *Sheet) session.Strings
	// along lets what is not asked follow the answers; nil lets it be.
	along func(s *Sheet, v *T)
	// judge returns a *model.FieldError where an answer at a path, or the whole, "", cannot be.
	judge func(path string, v T) error
	// whole says what all answers together lack, and may put the T right; nil lets it be.
	whole func(s *Sheet, v *T) error
}

// made returns the T as answered so far. It passes over what is wrong with an answer: check says that.
func (t table[T]) made(s *Sheet) T {
	v := t.was
	for _, f := range t.fields {
		if text := s.answer(f.Name); text != s.filled[f.Name] {
			_ = f.set(t.of, &v, text)
		}
	}
	if t.along != nil {
		t.along(s, &v)
	}
	return v
}

// check judges one answer by the T that it would make, all else as it is answered so far.
func (t table[T]) check(f field[T]) func(*Sheet, string) error {
	return func(s *Sheet, text string) error {
		if text != s.filled[f.Name] {
			if err := f.set(t.of, new(t.was), text); err != nil {
				return err
			}
		}
		var fault *model.FieldError
		err := s.supposing(f.Name, text, func() error { return t.judge(f.path, t.made(s)) })
		if errors.As(err, &fault) && (fault.Field == f.path || strings.HasPrefix(fault.Field, f.path+".")) {
			return errors.New(fault.Want)
		}
		return nil
	}
}

func (t table[T]) ask(s *Sheet, group string) {
	s.of, s.strings, s.Questions = t.of, t.strings, nil
	for _, f := range t.fields {
		q := f.Question
		q.Group = cmp.Or(q.Group, group)
		if q.check == nil {
			q.check = t.check(f)
		}
		switch {
		case q.Name == heldName:
			s.held = &q
		case q.seldom:
			s.seldom = append(s.seldom, q)
		default:
			s.Questions = append(s.Questions, q)
		}
	}
}

func (t table[T]) finish(s *Sheet) (T, error) {
	v := t.made(s)
	if t.whole != nil {
		if err := t.whole(s, &v); err != nil {
			return v, err
		}
	}
	return v, t.judge("", v)
}

func (t table[T]) fill(s *Sheet) {
	for _, f := range t.fields {
		text := f.print(t.of, t.was)
		if text == "" {
			continue
		}
		if f.Name == heldName {
			s.fillHeld(text)
		}
		s.answers[f.Name], s.filled[f.Name] = text, text
	}
}

// pathless drops the field's path from an error: the form shows it by itself.
func pathless(err error) error {
	var fault *model.FieldError
	if errors.As(err, &fault) {
		return errors.New(fault.Want)
	}
	return err
}
