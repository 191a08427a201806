package form

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/finish"
)

// Question is one field of a sheet.
type Question struct {
	Name  string // in drafts
	Label string // what is read or said: "peak", "6 in"
	Group string // heading that it stands under, the same for neighbours: "upper limb"
	Hint  string // what would be accepted, in a few words
	Unit  string // unit of a bare number; "" for none
	Must  bool   // may not be left out
	// Preset is taken by Enter alone; "" leaves the question out.
	Preset string
	// Beside says that Enter passes the question by once it is answered: it is filled in, and come to only
	// by going back.
	Beside bool
	// Choices are what may be answered, each by its start, or its place in the list from 1; nil for free
	// answers. The answer is the English word.
	Choices []string

	measures quantity // what it asks for, where its unit does not say that

	was   func(s *Sheet) string                 // what it was last time; nil for nothing
	check func(s *Sheet, text string) error     // nil accepts any text
	doubt func(s *Sheet, text string) string    // of a text that check took; "" for none
	where func(s *Sheet) (estimate.Where, bool) // which reading it asks for; nil for what cannot be foretold
	say   func(v float64) string                // that reading as it is typed
}

// Outcome is what a finished sheet says: an event for the bow's record, a bow's description, or a shop's
// settings.
type Outcome struct {
	Event    model.Event // nil where the sheet describes a bow or a shop
	Bow      model.Bow
	Settings finish.Settings
}

// Sheet is a form as it is being filled in.
type Sheet struct {
	Form      string // its name in drafts
	Title     string
	Caution   string // one line at the moment of risk; "" for none
	Questions []Question
	// Usual says that what is left out is as usual: the questions that are needed are few, and are told of
	// beforehand.
	Usual bool
	// Expect foretells a reading from what was read before and the brace height (in) that is typed on the
	// same sheet, 0 for none; nil foretells nothing.
	Expect func(where estimate.Where, brace float64) (f estimate.Figure, ok bool)

	of      model.Bow         // in whose units the fields are, with its rule and scale
	answers map[string]string // by question, as typed; an absent one was not come to, an empty one left out
	filled  map[string]string // by question: what the answer was to begin with, where it was filled in
	asked   map[string]string // by question: the text that was asked about
	at      int
	held    *Question // of how long the bow stood drawn, off the sheet until it is answered; nil for none
	begun   time.Time
	finish  func(s *Sheet) (Outcome, error)
	tune    func(s *Sheet) // lets the questions follow the answers; nil for none
}

// State is how an answer was taken.
type State int

// The states of an answer.
const (
	Taken   State = iota // the sheet stands at the next question
	Asked                // it is doubtful: the same answer again keeps it
	Refused              // it cannot be
)

// Verdict says how an answer was taken and, unless it was taken, why.
type Verdict struct {
	State State
	Says  string
}

// At is the index of the question that is being answered; len(Questions) after the last.
func (s *Sheet) At() int { return s.at }

// Done says whether the sheet stands behind its last question.
func (s *Sheet) Done() bool { return s.at >= len(s.Questions) }

// Current is the question that is being answered; ok is false behind the last.
func (s *Sheet) Current() (q Question, ok bool) {
	if s.Done() {
		return Question{}, false
	}
	return s.Questions[s.at], true
}

// Go moves to question i, or as near as there is one; answers stay.
func (s *Sheet) Go(i int) { s.at = max(0, min(i, len(s.Questions))) }

// Given is the answer to question i as typed; ok is false where it was not come to yet.
func (s *Sheet) Given(i int) (text string, ok bool) {
	text, ok = s.answers[s.Questions[i].Name]
	return text, ok
}

// Was is what question i was answered last time; "" where it was not.
func (s *Sheet) Was(i int) string {
	if was := s.Questions[i].was; was != nil {
		return was(s)
	}
	return ""
}

// Needed are the questions that may not be left out and are not answered yet, in order: "name", "upper limb".
func (s *Sheet) Needed() (labels []string) {
	for _, q := range s.Questions {
		if q.Must && q.Preset == "" && strings.TrimSpace(s.answers[q.Name]) == "" {
			labels = append(labels, q.Label)
		}
	}
	return labels
}

// Any says whether anything was answered, otherwise than it was filled in.
func (s *Sheet) Any() bool {
	for name, text := range s.answers {
		if s.changed(name) && (text != "" || s.filled[name] != "") {
			return true
		}
	}
	return false
}

// Answer answers the current question. An answer that is taken moves the sheet to the next question; an empty
// one takes the preset or leaves the question out.
func (s *Sheet) Answer(text string) Verdict {
	q, ok := s.Current()
	if !ok {
		return Verdict{Refused, "the sheet is full"}
	}
	text, verdict := s.judge(q, text)
	if verdict.State == Taken {
		s.answers[q.Name] = text
		s.at++
		s.retune()
		for !s.Done() && s.Questions[s.at].Beside {
			s.at++
		}
	}
	return verdict
}

// judge says what an answer means and how it is taken. A doubt is told once for the same answer.
func (s *Sheet) judge(q Question, text string) (answer string, v Verdict) {
	if text = strings.TrimSpace(text); text == "" {
		text = q.Preset
	}
	if text == "" && q.Must {
		return "", Verdict{Refused, fmt.Sprintf("%s is needed: %s", q.Label, q.Hint)}
	}
	if text != "" && len(q.Choices) > 0 {
		choice, ok := choose(q.Choices, text)
		if !ok {
			return "", Verdict{Refused, expected(q.Choices, text)}
		}
		text = choice
	}
	if q.check != nil && (text != "" || s.filled[q.Name] != "") {
		if err := q.check(s, text); err != nil {
			return "", Verdict{Refused, err.Error()}
		}
	}
	if q.doubt != nil && text != "" && s.asked[q.Name] != text {
		if doubt := q.doubt(s, text); doubt != "" {
			s.asked[q.Name] = text
			return "", Verdict{Asked, doubt}
		}
	}
	return text, Verdict{State: Taken}
}

// Leave keeps what is typed at the current question without judging it, so that nothing is lost on the way
// back.
func (s *Sheet) Leave(text string) {
	if q, ok := s.Current(); ok && text != s.answers[q.Name] {
		s.answers[q.Name] = text
		s.retune()
	}
}

// Finish makes the outcome. Each answer is judged once more, since some may only have been left, and others
// hang on what was changed after them; where one is refused or doubtful the sheet stands at it, and the
// error says why.
func (s *Sheet) Finish() (Outcome, error) {
	for i, q := range s.Questions {
		_, verdict := s.judge(q, s.answers[q.Name])
		switch {
		case verdict.State == Taken:
			continue
		case verdict.State == Refused && strings.TrimSpace(s.answers[q.Name]) != "":
			verdict.Says = q.Label + ": " + verdict.Says
		}
		s.at = i
		return Outcome{}, errors.New(verdict.Says)
	}
	return s.finish(s)
}

// answer is what question name was answered with, or its preset; "" where it was left out.
func (s *Sheet) answer(name string) string {
	i, text := s.index(name), strings.TrimSpace(s.answers[name])
	if i < 0 {
		return text
	}
	q := s.Questions[i]
	if text == "" {
		return q.Preset
	}
	if choice, ok := choose(q.Choices, text); ok {
		return choice
	}
	return text
}

// index is the place of question name; -1 where it is not asked.
func (s *Sheet) index(name string) int {
	return slices.IndexFunc(s.Questions, func(q Question) bool { return q.Name == name })
}

// changed says whether question name was answered otherwise than it was filled in.
func (s *Sheet) changed(name string) bool {
	filled, isFilled := s.filled[name]
	return !isFilled || s.answers[name] != filled
}

// retune lets the questions follow the answers.
func (s *Sheet) retune() {
	if s.tune != nil {
		s.tune(s)
	}
}

func newSheet(form, title string, finish func(s *Sheet) (Outcome, error)) *Sheet {
	return &Sheet{
		Form: form, Title: title, finish: finish,
		answers: make(map[string]string), filled: make(map[string]string), asked: make(map[string]string),
	}
}

// Begun is when the sheet was begun, as far as a draft says so; zero else.
func (s *Sheet) Begun() time.Time { return s.begun }
