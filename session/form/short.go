package form

import (
	"errors"
	"fmt"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// Typed alone, = is what the answer was last time; + is a mark more than that, -- two marks less.
const lastTime, marksOff = "=", "+-"

// spelled writes out an answer in short: last time's, and a length or weight without its denominator.
func (s *Sheet) spelled(q Question, text string) (string, error) {
	if offLastTime(text) && q.Unit != "" {
		if q.was == nil || q.was(s) == "" {
			return "", errors.New("you have no value from last time: type one")
		}
		return s.onward(q, q.was(s), strings.Count(text, "+")-strings.Count(text, "-")), nil
	}
	switch q.quantity() {
	case aLength:
		return s.of.Ruler().Spell(text)
	case aForce:
		return s.of.Weigher().Spell(text)
	}
	return text, nil
}

func offLastTime(text string) bool {
	return text != "" && strings.Trim(strings.TrimPrefix(text, lastTime), marksOff) == ""
}

// onward is an answer so many marks farther on.
func (s *Sheet) onward(q Question, from string, marks int) string {
	scale := s.of.Weigher()
	switch what := q.quantity(); what {
	case aLength, thin:
		rule := s.ruler(what)
		l, _ := s.of.ParseLength(from) // as the rule prints it
		return rule.Print(l + measure.Length(marks)*rule.Mark())
	case aForce:
		f, _ := s.of.ParseForce(from)
		return scale.Print(f + measure.Force(marks)*scale.Mark())
	}
	return from
}

func (s *Sheet) ruler(what quantity) measure.Rule {
	rule := s.of.Ruler()
	if what == thin {
		rule.Step = s.of.Calliper().Step
	}
	return rule
}

// measured prints a length or weight by the bow's rule or scale, "" for other answers; foreign says that it
// was typed in another unit.
func (s *Sheet) measured(q Question, full string) (says string, foreign bool, err error) {
	switch what := q.quantity(); what {
	case aLength, thin:
		unit := measure.LengthNamed(full)
		l, err := s.of.ParseLength(full)
		return s.ruler(what).WithUnit(l), unit != "" && unit != s.of.Units.Length, err
	case aForce:
		unit := measure.ForceNamed(full)
		f, err := s.of.ParseForce(full)
		return s.of.Weigher().WithUnit(f), unit != "" && unit != s.of.Units.Force, err
	}
	return "", false, nil
}

// Heard says how a text that is typed in short, or in another unit, is understood: "162mm is 6 3/8 in"; ""
// where it needs no saying.
func (s *Sheet) Heard(text string) string {
	q, _ := s.Current()
	text = strings.TrimSpace(text)
	told := ""
	choice, chosen := choose(q.Choices, text)
	if q.hear != nil && text != "" {
		told = q.hear(text)
	} else if chosen && text != "" {
		told = choice
	} else if full, err := s.spelled(q, text); err == nil {
		says, foreign, err := s.measured(q, full)
		if err == nil && (full != text || foreign) {
			told = says
		}
	}
	if told == "" || told == text {
		return ""
	}
	return fmt.Sprintf("%s is %s", plain.Line(text), told)
}
