package form

import (
	"maps"
	"time"

	"bendbook/model/measure"
	"bendbook/session/shop"
)

// Draft is the sheet as it may be kept: what was answered otherwise than it was filled in, and which doubts
// were looked at.
func (s *Sheet) Draft(now time.Time) shop.Draft {
	if s.begun.IsZero() {
		s.begun = now
	}
	d := shop.Draft{Form: s.Form, Begun: s.begun, Units: s.of.Units,
		Answers: make(map[string]string, len(s.answers)), Asked: maps.Clone(s.asked)}
	for name, text := range s.answers {
		if s.changed(name) {
			d.Answers[name] = text
		}
	}
	if q, ok := s.Current(); ok {
		d.At = q.Name
	}
	return d
}

// Restore fills the sheet in as a draft left it and stands where that stood, or at the first question that
// was not come to. Answers to questions that the sheet does not ask are dropped.
func (s *Sheet) Restore(d shop.Draft) {
	s.begun = d.Begun
	if text := d.Answers[heldName]; text != "" {
		s.fillHeld(text)
	}
	// Some questions follow the answers to others: first to those that say in which units the others are.
	for _, q := range s.Questions {
		if text, ok := d.Answers[q.Name]; ok && q.quantity() == noQuantity {
			s.answers[q.Name] = text
		}
	}
	s.retune()
	for range 2 {
		s.restore(d)
		s.retune()
	}
}

// restore fills in the questions as they stand, and goes to where the draft stood. What was typed while
// bare numbers had other units than now gets its unit.
func (s *Sheet) restore(d shop.Draft) {
	units := d.Units
	switch {
	case s.of.Units == (measure.Units{}):
		units = s.of.Units // a sheet on no form, of which no units are known
	case units == (measure.Units{}):
		units = s.of.KeptIn() // a draft of before fields had other units than the record
	}
	as := func(q Question, text string) string { return carried(text, q.quantity(), units, s.of.Units) }
	at, open := -1, -1
	for i, q := range s.Questions {
		if text, ok := d.Answers[q.Name]; ok {
			s.answers[q.Name] = as(q, text)
		} else if open < 0 {
			open = i
		}
		if text, ok := d.Asked[q.Name]; ok {
			s.asked[q.Name] = as(q, text)
		}
		if q.Name == d.At {
			at = i
		}
	}
	if at < 0 {
		at = open
	}
	if at < 0 {
		at = len(s.Questions) - 1
	}
	s.at = max(at, 0)
}
