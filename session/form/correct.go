package form

import (
	"fmt"
	"strconv"

	"bendbook/model"
	"bendbook/model/measure"
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
			s.keep(func(s *Sheet, made model.Event) model.Event { return keepHeld(s, made, what) })
		}
		answers["peak"] = optional(what.Peak, func(f measure.Force) string { return exactForce(bow, f) })
	case model.Braced:
		if what.Block != nil && !what.Readings.Any() && !what.Height.Known() {
			s, answers = Block(story), blockRow{bow: bow}.answers(*what.Block)
			s.keep(func(_ *Sheet, made model.Event) model.Event { return keepBraced(made, what) })
			break
		}
		s, answers = Braced(story), readingAnswers(bow, what.Readings)
		answers["height"] = optional(what.Height, func(l measure.Length) string { return exactLength(bow, l) })
		s.keep(func(_ *Sheet, made model.Event) model.Event { return keepBraced(made, what) })
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
		s.preset("tool", "") // one that named none keeps none
		answers = map[string]string{
			"limb": what.Limb.String(), "from": exactLength(bow, what.From), "to": exactLength(bow, what.To), "tool": what.Tool,
			"strokes": optional(what.Strokes, strconv.Itoa),
			"depth":   optional(what.Depth, func(l measure.Length) string { return exactLength(bow, l) }),
		}
		if share, known := what.DepthShare.Get(); known {
			s.askShare()
			answers[shareName] = plainNumber(100 * share)
			s.keep(func(s *Sheet, made model.Event) model.Event { return keepShare(s, made, what) })
		}
	default:
		return nil, false
	}
	s.Form, s.Title = correctPrefix+entry.ID, fmt.Sprintf("Correct: %s", s.Title)
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

// keep lets what a sheet does not ask go along with what it makes.
func (s *Sheet) keep(along func(*Sheet, model.Event) model.Event) {
	finish := s.finish
	s.finish = func(s *Sheet) (Outcome, error) {
		o, err := finish(s)
		if err == nil {
			o.Event = along(s, o.Event)
		}
		return o, err
	}
}

// keepHeld is a pull with the time that its entry had, which the form shows in tenths of a second, unless another was typed.
func keepHeld(s *Sheet, made model.Event, was model.Pull) model.Event {
	pull, ok := made.(model.Pull)
	if !ok {
		return made
	}
	if !s.changed(heldName) {
		pull.Held = was.Held
	}
	return pull
}

// keepBraced is a reading of the braced bow with what its form does not ask: a block's gaps that were read with the others, and, where no other was
// read, what they would have been measured to.
func keepBraced(made model.Event, was model.Braced) model.Event {
	braced, ok := made.(model.Braced)
	if !ok {
		return made
	}
	if braced.Block == nil {
		braced.Block = was.Block
	}
	if !braced.Readings.Any() && !was.Readings.Any() {
		braced.From = was.From
	}
	return braced
}

// shareName is the question of how much came off as a share of the depth. A plan's scraping is entered so, and nobody measures it: it is asked
// only where an entry has it.
const shareName = "share"

func (s *Sheet) askShare() {
	s.Questions = append(s.Questions, Question{
		Name: shareName, Label: "share", Group: "scrape", Unit: "%",
		Hint: "how much of the depth came off, as planned; a depth that is typed takes its place",
		check: func(s *Sheet, text string) error {
			if text == "" || text == s.filled[shareName] {
				return nil
			}
			return percent(99)(s, text)
		},
	})
}

// keepShare is a scrape with the share of the depth that its entry had or that was typed, as long as no other depth was.
func keepShare(s *Sheet, made model.Event, was model.Scrape) model.Event {
	scrape, ok := made.(model.Scrape)
	switch {
	case !ok:
		return made
	case scrape.Depth.Known() && s.changed("depth"):
	case s.changed(shareName):
		scrape.DepthShare = s.shareOf(shareName)
	default:
		scrape.DepthShare = was.DepthShare
	}
	return scrape
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
