package form

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/session"
)

// Sheet holds the questions of a form and what was answered so far.
type Sheet struct {
	Form      string // its name in drafts
	Title     string
	Caution   string // one line at the moment of risk; "" for none
	Questions []Question
	// Usual says that what is left out is as usual: the form then says which few questions are needed.
	Usual bool
	// Expect predicts a reading from earlier ones, the string and the brace height (in) on the same sheet, 0
	// for none; nil predicts nothing.
	Expect func(where estimate.Where, on session.String, brace float64) (f estimate.Figure, ok bool)

	of      model.Bow         // in whose units the fields are, with its rule and scale
	answers map[string]string // by question, as typed; "" was left out, a missing one not reached yet
	filled  map[string]string // by question: what the answer was to begin with, where it was filled in
	doubted map[string]string // by question: the doubtful text that was taken and will be asked about
	asked   map[string]string // by question: the text that was asked about; the same again keeps it
	at      int
	unasked []Question                     // that stand behind "more": their presets are taken
	seldom  []Question                     // that only a line asks for
	begins  int                            // the first question that is asked unless one goes back
	strings func(s *Sheet) session.Strings // the bow's, by the answers so far; nil where it hangs on none
	held    *Question                      // of how long the bow stood drawn, off the sheet until answered
	begun   time.Time
	finish  func(s *Sheet) (outcome, error)
	tune    func(s *Sheet) // lets the questions follow the answers
}

// outcome is what a finished sheet says: an event for the bow's record, a bow's description, or a shop's
// settings.
type outcome struct {
	Event    model.Event // nil where the sheet describes a bow or a shop
	Bow      model.Bow
	Settings finish.Settings
}

// State says how an answer was taken.
type State int

// The states of an answer.
const (
	Taken   State = iota // the sheet stands at the next question
	Asked                // it is doubtful, and the sheet waits: the same answer again keeps it
	Refused              // it cannot be
)

// Reply says how an answer was taken and why it was not; of one that was taken, what is doubtful about it.
type Reply struct {
	State State
	Says  string
}

// DoubtError says why a value is doubtful; who is sure keeps it.
type DoubtError struct{ Says string }

func (e DoubtError) Error() string { return e.Says }

// keepIt stands behind each doubt.
const keepIt = ": Enter again to keep"

func newSheet(form, title string, finish func(s *Sheet) (outcome, error)) *Sheet {
	return &Sheet{
		Form: form, Title: title, finish: finish, tune: func(*Sheet) {},
		answers: make(map[string]string), filled: make(map[string]string),
		doubted: make(map[string]string), asked: make(map[string]string),
	}
}

// At is the index of the question that is being answered; len(Questions) after the last.
func (s *Sheet) At() int { return s.at }

// Place is which question is being answered, of how many, from 1.
func (s *Sheet) Place() (n, of int) {
	of = len(s.Questions) - s.begins
	return min(max(s.at-s.begins, 0)+1, of), of
}

func (s *Sheet) beginAt(i int) {
	s.begins = i
	s.goTo(i)
}

// Bow is the bow that the sheet is about.
func (s *Sheet) Bow() model.Bow { return s.of }

func (s *Sheet) Done() bool { return s.at >= len(s.Questions) }

// Begun is when the sheet was begun, where a draft says so; else zero.
func (s *Sheet) Begun() time.Time { return s.begun }

// Current returns the question that is being answered; ok is false behind the last.
func (s *Sheet) Current() (q Question, ok bool) {
	if s.Done() {
		return Question{}, false
	}
	return s.hinted(s.Questions[s.at]), true
}

func (s *Sheet) hinted(q Question) Question {
	if q.hint != nil {
		q.Hint = q.hint(s)
	}
	return q
}

func (s *Sheet) mustAnswer(q Question) bool { return q.must || q.needs != nil && q.needs(s) }

func (s *Sheet) goTo(i int) { s.at = max(0, min(i, len(s.Questions))) }

// Given returns the answer to question i as typed; ok is false where it was not reached yet.
func (s *Sheet) Given(i int) (text string, ok bool) {
	text, ok = s.answers[s.Questions[i].Name]
	return text, ok
}

// Was returns last time's answer to question i; "" where there is none.
func (s *Sheet) Was(i int) string {
	if was := s.Questions[i].was; was != nil {
		return was(s)
	}
	return ""
}

// EnterAlone says what Enter alone takes at question i; "" where it takes nothing.
func (s *Sheet) EnterAlone(i int) string {
	q := s.Questions[i]
	if q.Preset == "" && q.otherwise != nil {
		return q.otherwise(s)
	}
	return q.Preset
}

func (s *Sheet) MayLeave(i int) bool { return !s.mustAnswer(s.Questions[i]) }

// Needed lists the questions that may not be left out and are not answered yet: "name", "upper limb".
func (s *Sheet) Needed() (labels []string) {
	for _, q := range s.Questions {
		if s.mustAnswer(q) && q.Preset == "" && strings.TrimSpace(s.answers[q.Name]) == "" {
			labels = append(labels, q.Label)
		}
	}
	return labels
}

// any says whether any answer differs from what was filled in.
func (s *Sheet) any() bool {
	for name, text := range s.answers {
		if s.changed(name) && (text != "" || s.filled[name] != "") {
			return true
		}
	}
	return false
}

// Answer answers the current question. An answer that is taken moves the sheet to the next question; an empty
// one takes the preset or leaves the question out. A doubtful one is taken too, so that a list goes on being
// typed into the right fields: [Sheet.Finish] asks about it. Only a draw is asked about at once.
func (s *Sheet) Answer(text string) Reply {
	q, ok := s.Current()
	if !ok {
		return Reply{Refused, "the sheet is full"}
	}
	text, reply := s.judge(q, text)
	switch {
	case reply.State == Refused:
		return reply
	case reply.State == Asked && q.atOnce:
		s.asked[q.Name] = text
		return reply
	case reply.State == Asked && s.doubted[q.Name] == text && s.answers[q.Name] == text:
		s.asked[q.Name], reply = text, Reply{} // it stood at the field, and what is doubtful with it
	case reply.State == Asked:
		s.doubted[q.Name] = text
		reply = Reply{Taken, fmt.Sprintf("%s: %s", q.named(), strings.TrimSuffix(reply.Says, keepIt))}
	}
	s.answers[q.Name] = text
	s.at++
	s.retune()
	for !s.Done() && s.Questions[s.at].Name == heldName {
		s.at++
	}
	return reply
}

// judge returns what an answer means and how it is taken. It doubts no answer that was asked about.
func (s *Sheet) judge(q Question, text string) (answer string, r Reply) {
	text, err := s.understood(q, text)
	if err == nil && q.check != nil && (text != "" || s.filled[q.Name] != "") {
		err = q.check(s, text)
	}
	if err != nil {
		return "", Reply{Refused, err.Error()}
	}
	if q.doubt != nil && text != "" && s.asked[q.Name] != text {
		if doubt := q.doubt(s, text); doubt != "" {
			return text, Reply{Asked, doubt + keepIt}
		}
	}
	return text, Reply{State: Taken}
}

// understood writes an answer out, and refuses one that can't be among the choices.
func (s *Sheet) understood(q Question, text string) (string, error) {
	text, err := s.written(q, text)
	switch {
	case err != nil:
		return "", err
	case text == "" && s.mustAnswer(q):
		return "", fmt.Errorf("%s is needed: %s", q.Label, s.hinted(q).Hint)
	case text != "" && len(q.Choices) > 0 && !q.free && !slices.Contains(q.Choices, text):
		return "", errors.New(expected(q.Choices, text))
	}
	return text, nil
}

// leave keeps what is typed at the current question without judging it.
func (s *Sheet) leave(text string) {
	if q, ok := s.Current(); ok && text != s.answers[q.Name] {
		s.answers[q.Name] = text
		s.retune()
	}
}

// Finish makes the outcome. It judges each answer again: some were never judged, and others depend on answers
// that changed later. Where one is refused or doubtful the sheet moves to it, and the error says why; a
// doubt, a [DoubtError], is raised once.
func (s *Sheet) Finish() (outcome, error) {
	for i, q := range s.Questions {
		text, reply := s.judge(q, s.answers[q.Name])
		if _, reached := s.answers[q.Name]; q.free && q.Preset != "" && !reached {
			reply = Reply{Refused, q.Hint}
		}
		switch {
		case reply.State == Taken:
			continue
		case reply.State == Asked:
			s.at, s.asked[q.Name] = i, text
			return outcome{}, DoubtError{reply.Says}
		case strings.TrimSpace(s.answers[q.Name]) != "":
			reply.Says = q.Label + ": " + reply.Says
		}
		s.at = i
		return outcome{}, errors.New(reply.Says)
	}
	return s.finish(s)
}

// answer returns what question name was answered with, spelled out, or its preset; "" where it was left out.
func (s *Sheet) answer(name string) string {
	text := strings.TrimSpace(s.answers[name])
	all := slices.Concat(s.Questions, s.unasked)
	i := slices.IndexFunc(all, func(q Question) bool { return q.Name == name })
	if i < 0 {
		return text
	}
	if full, err := s.written(all[i], text); err == nil {
		return full
	}
	return text
}

// written writes an answer out, or the preset where there is none.
func (s *Sheet) written(q Question, text string) (string, error) {
	text = cmp.Or(strings.TrimSpace(text), q.Preset)
	if choice, ok := choose(q.Choices, text); ok && text != "" {
		return choice, nil
	}
	return s.spelled(q, text)
}

// lengthOf parses the answer to question name; unread where it was left out or isn't a length.
func (s *Sheet) lengthOf(name string) maybeLength {
	l, _ := exactLengths().read(s.of, s.answer(name))
	return l
}

// supposing calls do with an answer on the sheet that is not accepted yet.
func (s *Sheet) supposing(name, text string, do func() error) error {
	was := s.answers
	defer func() { s.answers = was }()
	s.answers = maps.Clone(was)
	s.answers[name] = text
	return do()
}

// index is the place of question name; -1 where it is not asked.
func (s *Sheet) index(name string) int {
	return slices.IndexFunc(s.Questions, func(q Question) bool { return q.Name == name })
}

// changed says whether the answer to question name differs from what was filled in.
func (s *Sheet) changed(name string) bool {
	filled, isFilled := s.filled[name]
	return !isFilled || s.answers[name] != filled
}

func (s *Sheet) retune() { s.tune(s) }

// Expected prints what is expected for question i, with its 90% band; "" where nothing is.
func (s *Sheet) Expected(i int) string {
	if figure, ok := s.foretold(s.Questions[i]); ok {
		return s.Questions[i].sayFigure(figure)
	}
	return ""
}

// on is the string that the bow hangs on by the answers so far, and its number.
func (s *Sheet) on() (session.String, int) {
	if s.strings == nil {
		return session.String{}, 0
	}
	return s.strings(s).Now()
}

func (s *Sheet) foretold(q Question) (f estimate.Figure, ok bool) {
	if s.Expect == nil || q.where == nil {
		return f, false
	}
	where, ok := q.where(s)
	if ok {
		on, _ := s.on()
		f, ok = s.Expect(where, on, float64(s.lengthOf("height").Or(0)))
	}
	return f, ok && f.High > f.Low
}

// heldName is the question how long the bow stood drawn. The hold clock answers it: it is on a pull's sheet
// only where the clock ran, and one reaches it only by going back.
const heldName = "held"

// fillHeld fills in how long the bow stood drawn. It does nothing on a sheet that is no pull's.
func (s *Sheet) fillHeld(text string) {
	if s.held == nil {
		return
	}
	s.answers[heldName] = text
	if s.index(heldName) >= 0 {
		return
	}
	at := s.index("peak") + 1
	s.Questions = slices.Insert(s.Questions, at, *s.held)
	if s.at >= at {
		s.at++
	}
}

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
