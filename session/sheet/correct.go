package sheet

import (
	"strconv"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/say"
	"bendbook/session"
)

// Correct is the sheet of an entry that was read or typed wrong, filled in with what it says. The story is the one without
// that entry, so that what it says is held against what came before. ok is false for an entry that has no such sheet.
func Correct(story session.Story, entry model.Entry) (s *Sheet, ok bool) {
	bow := story.Bow()
	var answers map[string]string
	switch what := entry.What.(type) {
	case model.Pull:
		s, answers = pull(story, what.From), readingAnswers(bow, what.Readings)
		answers["draw"] = exactLength(bow, what.Draw)
		if held, known := what.Held.Get(); known {
			s.Hold(held)
			answers[heldName] = s.answers[heldName]
		}
		answers["peak"] = optional(what.Peak, func(f measure.Force) string { return exactForce(bow, f) })
	case model.Braced:
		if what.Block != nil && !what.Readings.Any() && !what.Height.Known() {
			s, answers = Block(story), blockRow{bow: bow}.answers(*what.Block)
			break
		}
		s, answers = Braced(story), readingAnswers(bow, what.Readings)
		answers["height"] = optional(what.Height, func(l measure.Length) string { return exactLength(bow, l) })
		if what.Block != nil {
			// The form asks for no block, so the gaps that were read with the others go along.
			finish := s.finish
			s.finish = func(s *Sheet) (Outcome, error) {
				o, err := finish(s)
				if braced, isBraced := o.Event.(model.Braced); isBraced {
					braced.Block = what.Block
					o.Event = braced
				}
				return o, err
			}
		}
	case model.Relaxed:
		s, answers = Relaxed(story), readingAnswers(bow, what.Readings)
	case model.StringLength:
		s, answers = StringLength(story), map[string]string{"length": exactLength(bow, what.Length)}
	case model.Note:
		s, answers = Note(story), map[string]string{"text": what.Text}
	case model.Exercise:
		s, answers = Exercise(story), map[string]string{"pulls": strconv.Itoa(what.Pulls)}
	case model.Scrape:
		s = Scrape(story)
		answers = map[string]string{
			"limb": what.Limb.String(), "from": exactLength(bow, what.From), "to": exactLength(bow, what.To), "tool": what.Tool,
			"strokes": optional(what.Strokes, strconv.Itoa),
			"depth":   optional(what.Depth, func(l measure.Length) string { return exactLength(bow, l) }),
		}
	default:
		return nil, false
	}
	s.Form, s.Title = "correct "+entry.ID, say.F("Correct: %s", s.Title)
	// Some questions follow the answers to others.
	for range 2 {
		for _, q := range s.Questions {
			if text := answers[q.Name]; text != "" {
				s.answers[q.Name], s.filled[q.Name] = text, text
			}
		}
		s.retune()
	}
	return s, true
}

// readingAnswers are the answers to the station questions that give these readings.
func readingAnswers(bow model.Bow, rows model.Readings) map[string]string {
	answers := make(map[string]string)
	for _, side := range model.Sides {
		for i, reading := range rows[side] {
			answers[stationName(side, i)] = optional(reading, func(l measure.Length) string { return exactLength(bow, l) })
		}
	}
	return answers
}

func optional[T any](v measure.Optional[T], say func(T) string) string {
	if value, known := v.Get(); known {
		return say(value)
	}
	return ""
}
