package form

import (
	"cmp"
	"errors"
	"strconv"
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

// notation is how a value is typed and printed.
type notation[V any] struct {
	parse func(of model.Bow, text string) (V, error)
	print func(of model.Bow, v V) string
}

// shortLengths are printed as the rule has them, whole ones without fractions; exactLengths lose nothing.
func shortLengths() notation[measure.Length] {
	return notation[measure.Length]{model.Bow.ParseLength, func(of model.Bow, l measure.Length) string { return of.Ruler().Short(l) }}
}

func exactLengths() notation[measure.Length] {
	return notation[measure.Length]{model.Bow.ParseLength, exactLength}
}

func shortForces() notation[measure.Force] {
	return notation[measure.Force]{model.Bow.ParseForce, func(of model.Bow, f measure.Force) string { return of.Weigher().Short(f) }}
}

func exactForces() notation[measure.Force] {
	return notation[measure.Force]{model.Bow.ParseForce, exactForce}
}

// counts are whole numbers from least to most.
func counts(least, most int) notation[int] {
	return notation[int]{func(_ model.Bow, text string) (int, error) {
		return strconv.Atoi(text)
	}, func(_ model.Bow, n int) string { return strconv.Itoa(n) }}.within(count(least, most))
}

// shares are fractions that are typed in per cent, from 0 to most.
func shares(most float64) notation[float64] {
	return notation[float64]{func(_ model.Bow, text string) (float64, error) {
		v, err := parseNumber(strings.TrimSuffix(text, "%"))
		return v / 100, err
	}, func(_ model.Bow, v float64) string { return plainNumber(100 * v) }}.within(percent(most))
}

// decimals are plain numbers.
func decimals() notation[float64] {
	return notation[float64]{
		func(_ model.Bow, text string) (float64, error) { return parseNumber(text) },
		func(_ model.Bow, v float64) string { return plainNumber(v) },
	}
}

// within is the notation of values whose text passes a check first.
func (n notation[V]) within(check func(*Sheet, string) error) notation[V] {
	parse := n.parse
	n.parse = func(of model.Bow, text string) (v V, err error) {
		if err := check(nil, text); err != nil {
			return v, err
		}
		return parse(of, text)
	}
	return n
}

// optionalField is the field of a value that may be missing.
func optionalField[T, V any](path string, q Question, n notation[V], at func(*T) *measure.Optional[V]) field[T] {
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
			return shortText(nil, text)
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
			*at(v) = sideNamed(text)
			return nil
		},
	}
}

// named is the question under the last part of its path, by which drafts know it, unless it has a name; and
// under that as its label, unless it has one.
func named(path string, q Question) Question {
	q.Name = cmp.Or(q.Name, path[strings.LastIndexByte(path, '.')+1:])
	q.Label = cmp.Or(q.Label, q.Name)
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

// A table asks for a T by its fields: an event of a bow, or its description.
type table[T any] struct {
	of     model.Bow // in whose units it is asked
	was    T         // what is not asked, or left as it was filled in, is as here
	fields []field[T]
	// along lets what is not asked follow the answers; nil lets it be.
	along func(s *Sheet, answer func(name string) string, v *T)
	// judge is a *model.FieldError where an answer at a path, or the whole, "", cannot be.
	judge func(path string, v T) error
	// whole says what all answers together lack, and may put the T right; nil lets it be.
	whole func(s *Sheet, v *T) error
}

// made is the T as answered so far. An answer that cannot be leaves its field as it was.
func (t table[T]) made(s *Sheet, answer func(name string) string) T {
	v := t.was
	for _, f := range t.fields {
		if text := answer(f.Name); text != s.filled[f.Name] {
			// What cannot be is refused where it is answered; here the others are wanted.
			_ = f.set(t.of, &v, text)
		}
	}
	if t.along != nil {
		t.along(s, answer, &v)
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
		v := t.made(s, func(name string) string {
			if name == f.Name {
				return text
			}
			return s.answer(name)
		})
		var fault *model.FieldError
		if errors.As(t.judge(f.path, v), &fault) && (fault.Field == f.path || strings.HasPrefix(fault.Field, f.path+".")) {
			return errors.New(fault.Want)
		}
		return nil
	}
}

// questions are those of the fields that stand on the sheet to begin with.
func (t table[T]) questions(group string) (all []Question, hidden *Question) {
	for _, f := range t.fields {
		q := f.Question
		q.Group = cmp.Or(q.Group, group)
		if q.check == nil {
			q.check = t.check(f)
		}
		if f.hidden {
			hidden = &q
		} else {
			all = append(all, q)
		}
	}
	return all, hidden
}

// finish is the T of all answers.
func (t table[T]) finish(s *Sheet) (T, error) {
	v := t.made(s, s.answer)
	if t.whole != nil {
		if err := t.whole(s, &v); err != nil {
			return v, err
		}
	}
	return v, t.judge("", v)
}

// fill fills a sheet in with what a T says.
func (t table[T]) fill(s *Sheet) {
	for _, f := range t.fields {
		text := f.print(t.of, t.was)
		if text == "" {
			continue
		}
		if f.hidden {
			s.fillHeld(text)
		}
		s.answers[f.Name], s.filled[f.Name] = text, text
	}
}

// entrySheet is the sheet of a kind of entry that a table asks for.
func entrySheet[E model.Event](k Kind, t table[E]) *Sheet {
	t.judge = func(_ string, e E) error { return t.of.CheckEvent(e) }
	s := newSheet(k.Form, k.Title, nil, func(s *Sheet) (Outcome, error) {
		e, err := t.finish(s)
		return Outcome{Event: e}, pathless(err)
	})
	s.of, s.Caution = t.of, k.Caution
	s.Questions, s.held = t.questions(k.Form)
	return s
}
