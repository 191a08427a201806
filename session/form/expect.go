package form

import (
	"fmt"

	"bendbook/model/estimate"
)

// Expected is what is foretold for question i, with its 90 % band; "" where nothing is.
func (s *Sheet) Expected(i int) string {
	q := s.Questions[i]
	figure, ok := s.foretold(q)
	if !ok {
		return ""
	}
	return fmt.Sprintf("%s (%s to %s)", q.say(figure.Estimate), q.say(figure.Low), q.say(figure.High))
}

// Foretold says whether the question asks for a reading that can be foretold.
func (q Question) Foretold() bool { return q.where != nil }

func (s *Sheet) foretold(q Question) (estimate.Figure, bool) {
	if s.Expect == nil || q.where == nil {
		return estimate.Figure{}, false
	}
	where, ok := q.where(s)
	if !ok {
		return estimate.Figure{}, false
	}
	brace := 0.0
	if s.brace != nil {
		brace = float64(s.brace(s).Or(0))
	}
	figure, ok := s.Expect(where, brace)
	return figure, ok && figure.High > figure.Low
}

// unexpected asks about a value that lies more than four standard deviations from what is foretold; told says whether
// anything is.
func (s *Sheet) unexpected(q Question, now float64) (doubt string, told bool) {
	figure, ok := s.foretold(q)
	if !ok {
		return "", false
	}
	if !figure.Doubtful(now) {
		return "", true
	}
	return fmt.Sprintf("expected about %s (%s to %s), now %s: %s",
		q.say(figure.Estimate), q.say(figure.Low), q.say(figure.High), q.say(now), keepIt), true
}
