package form

import (
	"errors"
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
)

// What may be left out.
type (
	maybeLength = measure.Optional[measure.Length]
	maybeForce  = measure.Optional[measure.Force]
)

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
	return fmt.Sprintf("expected %s", list(1, choices))
}

// list numbers choices from a number on.
func list(first int, choices []string) string {
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
