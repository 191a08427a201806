package form

import (
	"errors"
	"fmt"

	"bendbook/model"
)

// Like asks for the description of a new bow, filled in with that of a pattern.
func Like(pattern model.Bow, of string, p Practice) *Sheet {
	d := description{was: pattern, Practice: p}
	s := newSheet(likeForm, fmt.Sprintf("Another like %s", of), d.questions(false), func(s *Sheet) (Outcome, error) {
		o, err := d.finish(s)
		if err == nil && o.Bow.Name == "" {
			err = errors.New("a bow needs a name")
		}
		return o, err
	})
	s.of = pattern
	for _, f := range d.fields() {
		if text := f.print(pattern, pattern); text != "" {
			s.answers[f.Name], s.filled[f.Name] = text, text
		}
	}
	return s
}
