package form

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
)

// What may be left out.
type (
	maybeLength = measure.Optional[measure.Length]
	maybeForce  = measure.Optional[measure.Force]
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
func (s *Sheet) lengthOf(name string) maybeLength {
	if text := s.answer(name); text != "" {
		if l, err := s.of.ParseLength(text); err == nil {
			return measure.Some(l)
		}
	}
	return maybeLength{}
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

// choose finds the choice that text means: its place from 1, itself, or its unambiguous start.
func choose(choices []string, text string) (choice string, ok bool) {
	text = strings.ToLower(strings.TrimSpace(text))
	var starts []string
	for i, c := range choices {
		if text == fmt.Sprint(i+1) || text == strings.ToLower(c) {
			return c, true
		}
		if begins(c, text) {
			starts = append(starts, c)
		}
	}
	if len(starts) == 1 {
		return starts[0], true
	}
	return "", false
}

// expected says what could have been chosen: of what text begins where it begins several, else of all.
func expected(choices []string, text string) string {
	var could []string
	for i, c := range choices {
		if begins(c, strings.ToLower(strings.TrimSpace(text))) {
			could = append(could, fmt.Sprintf("%d %s", i+1, c))
		}
	}
	if len(could) > 1 {
		return fmt.Sprintf("it could be %s", strings.Join(could, ", "))
	}
	return fmt.Sprintf("expected %s", list(choices))
}

func list(choices []string) string { return listFrom(1, choices) }

// listFrom numbers them from a number on.
func listFrom(first int, choices []string) string {
	numbered := make([]string, len(choices))
	for i, c := range choices {
		numbered[i] = fmt.Sprintf("%d %s", first+i, c)
	}
	return strings.Join(numbered, ", ")
}

// begins says whether a choice begins with a text in small letters.
func begins(choice string, text string) bool {
	return strings.HasPrefix(strings.ToLower(choice), text)
}

// BeginsAnew says whether what is typed behind a text begins another answer: the text is a whole choice,
// and none goes on so.
func (q Question) BeginsAnew(text, more string) bool {
	text, more = strings.ToLower(text), strings.ToLower(more)
	whole := false
	for _, c := range q.Choices {
		if begins(c, text+more) {
			return false
		}
		whole = whole || text == strings.ToLower(c)
	}
	return whole
}
