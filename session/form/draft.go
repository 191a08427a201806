package form

import (
	"maps"
	"slices"
	"strings"
	"time"

	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/shop"
)

// HalfTyped returns the half-typed forms of a bow that can be taken up again, the newest first.
func HalfTyped(s *shop.Shop, story session.Story) ([]shop.Draft, error) {
	drafts, err := s.Drafts(story.Bow().ID)
	yes := func() bool { return true }
	known := Opening[bool]{Entry: func(*Sheet) bool { return true }, Edit: yes, Like: yes,
		Correct: func(line session.Line) bool {
			_, ok := Correct(story, line.Entry)
			return ok
		}}
	return slices.DeleteFunc(slices.Clone(drafts),
		func(d shop.Draft) bool { return !known.TakeUp(story, d.Form) }), err
}

// Opening says how to open each half-typed form of a bow again.
type Opening[T any] struct {
	Entry   func(*Sheet) T       // a new entry
	Edit    func() T             // the bow's description
	Like    func() T             // a new bow like this one
	Correct func(session.Line) T // an entry that is put right
}

// TakeUp opens a draft's form again. It returns the zero value where the entry is gone, or this version does
// not know the form.
func (o Opening[T]) TakeUp(story session.Story, form string) (opened T) {
	if id, isCorrection := strings.CutPrefix(form, correctPrefix); isCorrection {
		if line, found := story.Line(id); found {
			opened = o.Correct(line)
		}
		return opened
	}
	switch form {
	case editForm:
		return o.Edit()
	case likeForm:
		return o.Like()
	}
	if kind, known := formNamed(form); known && kind.Of != nil {
		opened = o.Entry(kind.Of(story))
	}
	return opened
}

// formNamed finds a form by its name in drafts; ok is false for one that this version does not know.
func formNamed(form string) (named Kind, ok bool) {
	if strings.HasPrefix(form, correctPrefix) {
		form = correctPrefix
	}
	all := append(Kinds(), otherForms()...)
	at := slices.IndexFunc(all, func(k Kind) bool { return k.Form == form })
	if at < 0 {
		return Kind{}, false
	}
	return all[at], true
}

func otherForms() []Kind {
	return []Kind{
		{Form: correctPrefix, Word: "correction", About: "An entry that you read or typed wrong, ready to " +
			"change. What you save takes its place. The old one stays in the story, struck out."},
		{Form: "step", Word: "step", About: "A step of finishing that was done, and its day."},
		{Form: "mark", Word: "mark", About: "What is stamped on the bow. Enter alone takes what is proposed."},
		{Form: "void", Word: "striking out",
			About: "Why you strike an entry out. It stays in the story, with this reason."},
		{Form: "setting", Word: "setting", About: "One of the shop's settings, filled in as it stands."},
		{Form: "bow", Word: "new bow", About: "A new bow. It needs only a name and its length from nock to " +
			"nock. Then ctrl+s saves it, and you add the rest later."},
		{Form: editForm, Word: "description", About: "The bow and its order, as you described them so far."},
		{Form: likeForm, Word: "bow like this one", About: "A new bow, filled in with the order, size and " +
			"aim of another. Change what differs."},
	}
}

// FormName returns a form's word by its name in drafts, or that name where this version does not know it.
func FormName(form string) string {
	if named, ok := formNamed(form); ok {
		return named.Word
	}
	return form
}

func (s *Sheet) About() string {
	if named, ok := formNamed(s.Form); ok {
		return named.About
	}
	return s.Title + "."
}

// draft returns the answers that differ from what was filled in, and the doubts that were raised.
func (s *Sheet) draft(now time.Time) shop.Draft {
	if s.begun.IsZero() {
		s.begun = now
	}
	d := shop.Draft{Form: s.Form, Begun: s.begun, Units: s.of.Units,
		Answers: maps.Clone(s.answers), Asked: maps.Clone(s.asked)}
	maps.DeleteFunc(d.Answers, func(name, _ string) bool { return !s.changed(name) })
	if q, ok := s.Current(); ok {
		d.At = q.Name
	}
	return d
}

// Restore fills the sheet in from a draft and moves to where that stood, or to the first question that was
// not reached. It drops answers to questions that the sheet does not ask.
func (s *Sheet) Restore(d shop.Draft) {
	s.begun = d.Begun
	if text := d.Answers[heldName]; text != "" {
		s.fillHeld(text)
	}
	if text := d.Answers[byName]; text != "" {
		s.answers[byName] = text
	}
	// Some questions depend on the answers to others, and so do the units of some answers.
	for range 3 {
		s.restore(d)
		s.retune()
	}
	for _, q := range s.Questions {
		if _, reply := s.judge(q, s.answers[q.Name]); reply.State == Asked {
			s.doubted[q.Name] = s.answers[q.Name]
		}
	}
}

// restore fills in the questions as they stand. It adds the unit to numbers that were typed in another one.
func (s *Sheet) restore(d shop.Draft) {
	units := d.Units
	switch {
	case s.of.Units == (measure.Units{}):
		units = s.of.Units // a sheet without a bow
	case units == (measure.Units{}):
		units = s.of.KeptIn() // an old draft, typed in the record's units
	}
	open := -1
	for i, q := range slices.Concat(s.Questions, s.unasked) {
		if text, ok := d.Answers[q.Name]; ok {
			s.answers[q.Name] = carried(text, q.quantity(), units, s.of.Units)
		} else if open < 0 && i < len(s.Questions) {
			open = i
		}
		if text, ok := d.Asked[q.Name]; ok {
			s.asked[q.Name] = carried(text, q.quantity(), units, s.of.Units)
		}
	}
	if s.at = s.index(d.At); s.at < 0 {
		s.at = open
	}
	if s.at < 0 {
		s.at = max(len(s.Questions)-1, 0)
	}
}
