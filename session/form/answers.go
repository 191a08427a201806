package form

import (
	"errors"
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
func (s *Sheet) lengthOf(name string) measure.Optional[measure.Length] {
	if text := s.answer(name); text != "" {
		if l, err := s.of.ParseLength(text); err == nil {
			return measure.Some(l)
		}
	}
	return measure.Optional[measure.Length]{}
}

func sideNames() []string { return []string{model.Upper.String(), model.Lower.String()} }

// sideNamed is the limb of a name; the upper one for any other text.
func sideNamed(name string) model.Side {
	if name == model.Lower.String() {
		return model.Lower
	}
	return model.Upper
}

// pathless is the error without the field's path, which the form shows by itself.
func pathless(err error) error {
	var fault *model.FieldError
	if errors.As(err, &fault) {
		return errors.New(fault.Want)
	}
	return err
}
