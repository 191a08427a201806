package form

import (
	"errors"
	"fmt"
)

// A doubtful answer is taken, so that a list goes on being typed into the right fields. What is doubtful
// about it stands at its field, and is asked about before the sheet is finished; who is sure keeps it.

// Doubt says what is doubtful about the answer to question i and still to be asked about; "" for nothing.
func (s *Sheet) Doubt(i int) string {
	q := s.Questions[i]
	text, ok := s.doubted[q.Name]
	if !ok || text != s.answers[q.Name] {
		return ""
	}
	if _, reply := s.judge(q, text); reply.State == Asked { // other answers may have cleared it up
		return reply.Says
	}
	return ""
}

// WasDoubted says whether the answer to question i was doubtful, also where it was kept since.
func (s *Sheet) WasDoubted(i int) bool {
	name := s.Questions[i].Name
	text := s.answers[name]
	return text != "" && (s.doubted[name] == text || s.asked[name] == text)
}

// unexpected doubts a value more than four standard deviations from what is expected.
func (s *Sheet) unexpected(q Question, now float64) string {
	figure, ok := s.foretold(q)
	if !ok || !figure.Doubtful(now) {
		return ""
	}
	return fmt.Sprintf("expected about %s, now %s", q.sayFigure(figure), q.say(now))
}

// stopped is the reply to what kept a sheet from being finished.
func stopped(err error) Reply {
	if doubt := (DoubtError{}); errors.As(err, &doubt) {
		return Reply{Asked, doubt.Says}
	}
	return Reply{Refused, err.Error()}
}
