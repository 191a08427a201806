package form

import (
	"fmt"

	"bendbook/model"
	"bendbook/session"
)

// Kinds are all kinds of entry, in the order in which they are offered.
func Kinds() []Kind {
	return []Kind{
		pullKind(),
		bracedKind(),
		blockKind(),
		relaxedKind(),
		scrapeKind(),
		shortenKind(),
		measureKind(),
		exerciseKind(),
		noteKind(),
		stringKind(),
		weighKind(),
		moistureKind(),
	}
}

// correctPrefix stands before the entry's id in the name of a correction.
const correctPrefix = "correct "

// Correct makes the sheet of an entry that was read or typed wrong, filled in. The story is the one without
// that entry, so that it is checked against what came before. ok is false for an entry that has no sheet.
func Correct(story session.Story, entry model.Entry) (s *Sheet, ok bool) {
	for _, kind := range Kinds() {
		if kind.correct == nil {
			continue
		}
		if s, ok := kind.correct(story, entry.What); ok {
			s.Form, s.Title = correctPrefix+entry.ID, fmt.Sprintf("Correct: %s", s.Title)
			return s, true
		}
	}
	return nil, false
}
