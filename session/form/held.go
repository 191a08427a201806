package form

import (
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

// How long a bow stood drawn is told by the hold clock and asked of nobody: the question stands on a pull's sheet only where the clock ran.

const heldName = "held"

func heldQuestion() *Question {
	return &Question{
		Name: heldName, Label: "held", Group: "pull", Unit: "s", Beside: true,
		Hint: "how long it stood drawn, such as 3.2; empty where it was not timed",
		check: func(_ *Sheet, text string) error {
			if text == "" {
				return nil
			}
			held, err := measure.ParseSeconds(text)
			if err != nil {
				return err
			}
			return model.CheckHeld(held)
		},
	}
}

// AsksHeld says whether the sheet is of a pull, which has a time held.
func (s *Sheet) AsksHeld() bool { return s.held != nil }

// Hold fills in how long the bow stood drawn, by the clock. On a sheet that asks for no pull it does nothing.
func (s *Sheet) Hold(held time.Duration) { s.fillHeld(measure.PrintSeconds(held)) }

func (s *Sheet) fillHeld(text string) {
	if s.held == nil {
		return
	}
	s.answers[heldName] = text
	named := func(name string) int {
		return slices.IndexFunc(s.Questions, func(q Question) bool { return q.Name == name })
	}
	if named(heldName) >= 0 {
		return
	}
	at := named("peak") + 1
	s.Questions = slices.Insert(s.Questions, at, *s.held)
	if s.at >= at {
		s.at++
	}
}

// heldOf is how long the bow stood drawn.
func (s *Sheet) heldOf() measure.Optional[time.Duration] {
	if held, err := measure.ParseSeconds(s.answer(heldName)); err == nil {
		return measure.Some(held)
	}
	return measure.Optional[time.Duration]{}
}

// Hold fills in how long the bow stood drawn; see [Sheet.Hold]. It is on disk when it returns.
func (f *Form) Hold(held time.Duration) error {
	f.Sheet.Hold(held)
	return f.saveDraft()
}
