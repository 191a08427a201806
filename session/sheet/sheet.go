// Package sheet holds the questions that make one entry, in the order in which one walks round the bow: what is
// asked, what it was last time, what is refused and what is asked about once. It is the same for whoever asks them,
// a screen, a line on paper or a script; it knows no screen and writes nothing.
package sheet

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/session"
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
	// Choices are what may be answered, each by its start or its place in the list from 1; nil for free answers.
	Choices []string

	was   func(s *Sheet) string             // what it was last time; nil for nothing
	check func(s *Sheet, text string) error // nil accepts any text
	doubt func(s *Sheet, text string) string
}

// Outcome is what a finished sheet says: an event for the bow's record, or a bow's description.
type Outcome struct {
	Event model.Event // nil where the sheet describes a bow
	Bow   model.Bow
}

// Sheet is a form as it is being filled in.
type Sheet struct {
	Form      string // its name in drafts
	Title     string
	Caution   string // one line at the moment of risk; "" for none
	Questions []Question

	answers map[string]string // by question, as typed; an absent one was not come to, an empty one left out
	asked   map[string]string // by question: the text that was asked about
	at      int
	begun   time.Time
	finish  func(s *Sheet) (Outcome, error)
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

// Any says whether anything was answered.
func (s *Sheet) Any() bool {
	for _, text := range s.answers {
		if text != "" {
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
	text = strings.TrimSpace(text)
	if text == "" {
		text = q.Preset
	}
	if text == "" && q.Must {
		return Verdict{Refused, fmt.Sprintf("%s is needed: %s", q.Label, q.Hint)}
	}
	if text != "" {
		if len(q.Choices) > 0 {
			choice, ok := choose(q.Choices, text)
			if !ok {
				return Verdict{Refused, fmt.Sprintf("expected %s", list(q.Choices))}
			}
			text = choice
		}
		if q.check != nil {
			if err := q.check(s, text); err != nil {
				return Verdict{Refused, err.Error()}
			}
		}
		if q.doubt != nil && s.asked[q.Name] != text {
			if doubt := q.doubt(s, text); doubt != "" {
				s.asked[q.Name] = text
				return Verdict{Asked, doubt}
			}
		}
	}
	s.answers[q.Name] = text
	s.at++
	return Verdict{State: Taken}
}

// Leave keeps what is typed at the current question without judging it, so that nothing is lost on the way back.
func (s *Sheet) Leave(text string) {
	if q, ok := s.Current(); ok && (text != "" || s.answers[q.Name] != "") {
		s.answers[q.Name] = text
	}
}

// Finish makes the outcome. Each answer is judged once more, since some may only have been left; the sheet then
// stands at the one at fault.
func (s *Sheet) Finish() (Outcome, error) {
	for i, q := range s.Questions {
		text := strings.TrimSpace(s.answers[q.Name])
		if text == "" {
			text = q.Preset
		}
		switch {
		case text == "" && q.Must:
			s.at = i
			return Outcome{}, fmt.Errorf("%s is needed: %s", q.Label, q.Hint)
		case text == "":
			continue
		}
		if len(q.Choices) > 0 {
			if _, ok := choose(q.Choices, text); !ok {
				s.at = i
				return Outcome{}, fmt.Errorf("%s: expected %s", q.Label, list(q.Choices))
			}
		}
		if q.check != nil {
			if err := q.check(s, text); err != nil {
				s.at = i
				return Outcome{}, fmt.Errorf("%s: %w", q.Label, err)
			}
		}
	}
	return s.finish(s)
}

// Draft is the sheet as it may be kept, with what is typed at the current question.
func (s *Sheet) Draft(now time.Time) session.Draft {
	if s.begun.IsZero() {
		s.begun = now
	}
	d := session.Draft{Form: s.Form, Begun: s.begun, Answers: make(map[string]string, len(s.answers))}
	for name, text := range s.answers {
		d.Answers[name] = text
	}
	if q, ok := s.Current(); ok {
		d.At = q.Name
	}
	return d
}

// Restore fills the sheet in as a draft left it. Answers to questions that the sheet does not ask are dropped.
func (s *Sheet) Restore(d session.Draft) {
	s.begun = d.Begun
	s.at = len(s.Questions)
	for i, q := range s.Questions {
		if text, ok := d.Answers[q.Name]; ok {
			s.answers[q.Name] = text
		}
		if q.Name == d.At {
			s.at = i
		}
	}
}

// answer is the text that question name was answered with, or its preset; "" where it was left out.
func (s *Sheet) answer(name string) string {
	if text := strings.TrimSpace(s.answers[name]); text != "" {
		return text
	}
	if i := slices.IndexFunc(s.Questions, func(q Question) bool { return q.Name == name }); i >= 0 {
		return s.Questions[i].Preset
	}
	return ""
}

func newSheet(form, title string, questions []Question, finish func(s *Sheet) (Outcome, error)) *Sheet {
	return &Sheet{
		Form: form, Title: title, Questions: questions, finish: finish,
		answers: make(map[string]string), asked: make(map[string]string),
	}
}

// choose finds the choice that text means: its place from 1, itself, or its unambiguous start.
func choose(choices []string, text string) (choice string, ok bool) {
	text = strings.ToLower(strings.TrimSpace(text))
	var starts []string
	for i, c := range choices {
		if text == fmt.Sprint(i+1) || text == strings.ToLower(c) {
			return c, true
		}
		if strings.HasPrefix(strings.ToLower(c), text) {
			starts = append(starts, c)
		}
	}
	if len(starts) == 1 {
		return starts[0], true
	}
	return "", false
}

func list(choices []string) string {
	numbered := make([]string, len(choices))
	for i, c := range choices {
		numbered[i] = fmt.Sprintf("%d %s", i+1, c)
	}
	return strings.Join(numbered, ", ")
}
