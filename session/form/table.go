package form

import (
	"cmp"
	"errors"
	"strings"

	"bendbook/model"
)

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
		if errors.As(t.judge(f.path, v), &fault) &&
			(fault.Field == f.path || strings.HasPrefix(fault.Field, f.path+".")) {
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
	s := newSheet(k.Form, k.Title, func(s *Sheet) (Outcome, error) {
		e, err := t.finish(s)
		return Outcome{Event: e}, pathless(err)
	})
	s.of, s.Caution = t.of, k.Caution
	s.Questions, s.held = t.questions(k.Form)
	return s
}
