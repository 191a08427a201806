package form

import (
	"fmt"
	"strconv"

	"bendbook/model"
	"bendbook/model/measure"
)

// length reads a length of the bow's units and judges it; what was emptied is left out.
func length(bow model.Bow, within func(measure.Length) error) func(*Sheet, string) error {
	return func(_ *Sheet, text string) error {
		if text == "" {
			return nil
		}
		l, err := bow.ParseLength(text)
		if err != nil {
			return err
		}
		return within(l)
	}
}

// weight reads a force of the bow's units and judges it.
func weight(bow model.Bow, within func(measure.Force) error) func(*Sheet, string) error {
	return func(_ *Sheet, text string) error {
		if text == "" {
			return nil
		}
		f, err := bow.ParseForce(text)
		if err != nil {
			return err
		}
		return within(f)
	}
}

// count reads a whole number from least on.
func count(least, most int) func(*Sheet, string) error {
	return func(_ *Sheet, text string) error {
		if text == "" {
			return nil
		}
		n, err := strconv.Atoi(text)
		if err != nil || n < least || n > most {
			return fmt.Errorf("%q is no count; expected a whole number from %d to %d", text, least, most)
		}
		return nil
	}
}

func shortText(_ *Sheet, text string) error {
	if len(text) > model.LongestName {
		return fmt.Errorf("that is too long; expected some %d plain letters at most", model.LongestName)
	}
	return nil
}

// lengthOf is the length that question name was answered with; unread where it was left out or is none.
func (s *Sheet) lengthOf(bow model.Bow, name string) measure.Optional[measure.Length] {
	if text := s.answer(name); text != "" {
		if l, err := bow.ParseLength(text); err == nil {
			return measure.Some(l)
		}
	}
	return measure.Optional[measure.Length]{}
}

// weightOf is the force that question name was answered with; unread where it was left out or is none.
func (s *Sheet) weightOf(bow model.Bow, name string) measure.Optional[measure.Force] {
	if text := s.answer(name); text != "" {
		if f, err := bow.ParseForce(text); err == nil {
			return measure.Some(f)
		}
	}
	return measure.Optional[measure.Force]{}
}

// countOf is the number that question name was answered with; unread where it was left out or is none.
func (s *Sheet) countOf(name string) measure.Optional[int] {
	if n, err := strconv.Atoi(s.answer(name)); err == nil {
		return measure.Some(n)
	}
	return measure.Optional[int]{}
}

// sideOf is the limb that question "limb" was answered with.
func (s *Sheet) sideOf() (side model.Side, ok bool) {
	switch s.answer("limb") {
	case model.Lower.String():
		return model.Lower, true
	case model.Upper.String():
		return model.Upper, true
	}
	return model.Upper, false
}

func sideNames() []string { return []string{model.Upper.String(), model.Lower.String()} }
