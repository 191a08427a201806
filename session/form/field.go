package form

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
)

// A table asks for a T by its fields: an event of a bow, its description, or a row under a block.
type table[T any] struct {
	of    model.Bow // in whose units it is asked
	was   T         // what is not asked, or left as it was filled in, is as here
	asks  []Question
	visit func(c *asker, v *T) // visits the fields of a T
	// opened finds where a sheet begins, and how it is called; nil leaves it so.
	opened func(s *Sheet)
	// strings are the bow's, as the sheet is answered; nil where it hangs on none.
	strings func(s *Sheet) session.Strings
	// along lets what is not asked follow the answers; nil lets it be.
	along func(s *Sheet, v *T)
	// judge returns a *model.FieldError where an answer at a path, or the whole, "", cannot be.
	judge func(path string, v T) error
	// whole says what all answers together lack, and may put the T right; nil lets it be.
	whole func(s *Sheet, v *T) error
}

// An asker is a [model.Codec] that visits one field: it prints the value, or sets it from an answer, in the
// bow's units.
type asker struct {
	Question
	of    model.Bow
	sets  bool
	text  string // the answer, or the value as it is typed; "" leaves it out, or is not known
	usual string // its usual unit; "" for none
	err   error
}

func maybe[V any](c *asker, path, unit string, n notation[V], v *measure.Optional[V]) {
	if path != c.path {
		return
	}
	c.measures, c.usual = max(c.measures, n.what), unit
	if c.sets {
		*v, c.err = n.read(c.of, c.text)
	} else {
		c.text = n.say(c.of, *v)
	}
}

// always asks for a value that is always there, if only as 0.
func always[V any](c *asker, path, unit string, n notation[V], v *V) {
	known := measure.Some(*v)
	maybe(c, path, unit, n, &known)
	var none V
	*v = known.Or(none)
}

func text[S ~string](c *asker, path string, v *S) {
	always(c, path, "", simple(noQuantity, func(text string) (S, error) {
		if !c.long && len(text) > model.LongestName {
			return "", fmt.Errorf("that is too long: type %d plain letters at most", model.LongestName)
		}
		return S(text), nil
	}, func(v S) string {
		if c.long {
			return string(v)
		}
		return plain.Line(string(v))
	}), v)
}

func (c *asker) Text(name string, v *string)     { text(c, name, v) }
func (c *asker) FullText(name string, v *string) { text(c, name, v) }
func (c *asker) Word(name string, v *string)     { text(c, name, v) }

func (c *asker) Side(name string, v *model.Side) {
	always(c, name, "", simple(noQuantity, sideNamed, model.Side.String), v)
}

func (c *asker) Length(name string, v *measure.Length) {
	always(c, name, string(c.of.Units.Length), exactLengths(), v)
}

func (c *asker) MaybeLength(name string, v *maybeLength) {
	maybe(c, name, string(c.of.Units.Length), exactLengths(), v)
}

func (c *asker) MaybeForce(name string, v *maybeForce) {
	maybe(c, name, c.of.Units.Force.Symbol(), exactForces(), v)
}

func (c *asker) MaybeSeconds(name string, v *measure.Optional[time.Duration]) {
	maybe(c, name, "s", simple(noQuantity, measure.ParseSeconds, measure.PrintSeconds), v)
}

func (c *asker) MaybeNumber(name string, v *measure.Optional[float64]) {
	switch warmth := c.of.WarmthUnit(); {
	case name == "celsius":
		maybe(c, name, warmth, warmths(warmth), v)
	case c.most > 0:
		maybe(c, name, "%", shares(c.most), v)
	default:
		maybe(c, name, "", simple(aNumber, parseNumber, plainNumber), v)
	}
}

func (c *asker) Count(name string, v *int) { always(c, name, "", counts(1), v) }

func (c *asker) MaybeCount(name string, v *measure.Optional[int]) { maybe(c, name, "", counts(0), v) }

func (c *asker) Readings(v *model.Readings) { c.row("", v) }

// row visits readings; their fields stand behind a prefix.
func (c *asker) row(prefix string, v *model.Readings) {
	if c.path != prefix+stationPath(c.side, c.place) {
		return
	}
	l := v.At(c.side, c.place)
	c.MaybeLength(c.path, &l)
	if !c.sets {
		return
	}
	v[c.side] = withReading(v[c.side], c.place, l)
	if c.below != "" && l.Or(0) < 0 {
		c.err = errors.New(c.below)
	}
}

func (c *asker) Name(_, _ string, _ *string)     {} // nobody asks for the rest
func (c *asker) Number(string, *float64)         {}
func (c *asker) Day(string, *model.Day)          {}
func (c *asker) Flag(string, *bool)              {}
func (c *asker) Patch(string, *[]byte)           {}
func (c *asker) Block(**model.Block)             {}
func (c *asker) Datum(*model.Datum, model.Datum) {}

func sideNamed(name string) (model.Side, error) {
	return model.Side(max(0, slices.Index(sideNames(), name))), nil
}

func stationPath(side model.Side, i int) string { return fmt.Sprintf("%s[%d]", side, i) }

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

// named gives questions their path or name, whichever they lack, a label, and their choices as a hint.
func named(asks []Question) []Question {
	for i := range asks {
		q := &asks[i]
		q.path = cmp.Or(q.path, q.Name)
		q.Name = cmp.Or(q.Name, q.path[strings.LastIndexByte(q.path, '.')+1:])
		q.Label = cmp.Or(q.Label, strings.ReplaceAll(q.Name, "_", " "))
		q.Hint = cmp.Or(q.Hint, list(1, q.Choices))
	}
	return asks
}

// print visits a field to print it.
func (t table[T]) print(q Question, v T) asker {
	c := asker{Question: q, of: t.of}
	t.visit(&c, &v)
	return c
}

func (t table[T]) set(q Question, v *T, text string) error {
	c := asker{Question: q, of: t.of, sets: true, text: text}
	t.visit(&c, v)
	return c.err
}

// made returns the T as answered so far. It passes over what is wrong with an answer: check says that.
func (t table[T]) made(s *Sheet) T {
	v := t.was
	for _, q := range t.asks {
		if text := s.answer(q.Name); text != s.filled[q.Name] {
			_ = t.set(q, &v, text)
		}
	}
	if t.along != nil {
		t.along(s, &v)
	}
	return v
}

// check judges one answer by the T that it would make, all else as it is answered so far.
func (t table[T]) check(q Question) func(*Sheet, string) error {
	return func(s *Sheet, text string) error {
		if text != s.filled[q.Name] {
			if err := t.set(q, new(t.was), text); err != nil {
				return err
			}
		}
		var fault *model.FieldError
		err := s.supposing(q.Name, text, func() error { return t.judge(q.path, t.made(s)) })
		if errors.As(err, &fault) && (fault.Field == q.path || strings.HasPrefix(fault.Field, q.path+".")) {
			return errors.New(fault.Want)
		}
		return nil
	}
}

// ask puts the questions on a sheet, in the bow's units.
func (t table[T]) ask(s *Sheet, group string) {
	s.of, s.strings, s.Questions = t.of, t.strings, nil
	for _, q := range t.asks {
		c := t.print(q, t.was)
		q.measures, q.Unit = c.measures, cmp.Or(q.Unit, c.usual)
		q.Hint, q.Group = examples(t.of.Units, q.Hint), cmp.Or(q.Group, group)
		if q.check == nil {
			q.check = t.check(q)
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
	for _, q := range t.asks {
		text := t.print(q, t.was).text
		if text == "" {
			continue
		}
		if q.Name == heldName {
			s.fillHeld(text)
		}
		s.answers[q.Name], s.filled[q.Name] = text, text
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
