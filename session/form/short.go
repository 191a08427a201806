package form

import (
	"errors"
	"fmt"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// lastTime is typed for what the answer was last time, with a + or - behind it for each mark more or less.
const lastTime = "="

// spelled writes out an answer in short: last time's, and a length or weight without its denominator.
func (s *Sheet) spelled(q Question, text string) (string, error) {
	if signs, ok := strings.CutPrefix(text, lastTime); ok && q.Unit != "" {
		more := len(strings.Trim(signs, "-")) - len(strings.Trim(signs, "+"))
		if more != len(signs) && -more != len(signs) {
			return "", errors.New("type = for last time's value, =+ for a mark more, =- for less")
		}
		if q.was == nil || q.was(s) == "" {
			return "", errors.New("you have no value from last time: type one")
		}
		return s.onward(q, q.was(s), more), nil
	}
	switch q.quantity() {
	case aLength:
		return s.of.Ruler().Spell(text)
	case aForce:
		return s.of.Weigher().Spell(text)
	}
	return text, nil
}

// onward is an answer so many marks farther on.
func (s *Sheet) onward(q Question, from string, marks int) string {
	rule, scale := s.of.Ruler(), s.of.Weigher()
	switch q.quantity() {
	case thin:
		rule.Step = s.of.Calliper().Step
		fallthrough
	case aLength:
		l, _ := s.of.ParseLength(from) // as the rule prints it
		return rule.Print(l + measure.Length(marks)*rule.Mark())
	case aForce:
		f, _ := s.of.ParseForce(from)
		return scale.Print(f + measure.Force(marks)*scale.Mark())
	}
	return from
}

// measures says whether a text is a measure of what a question asks for, whether it can be or not.
func (s *Sheet) measures(q Question, text string) bool {
	full, err := s.spelled(q, text)
	if err != nil {
		return false
	}
	switch q.quantity() {
	case aLength, thin:
		_, err = s.of.ParseLength(full)
	case aForce:
		_, err = s.of.ParseForce(full)
	default:
		return number.MatchString(full)
	}
	return err == nil
}

// Heard says how a text that is typed in short, or in another unit, is understood: "162mm is 6 3/8 in"; ""
// where it needs no saying.
func (s *Sheet) Heard(text string) string {
	q, _ := s.Current()
	text = strings.TrimSpace(text)
	if q.hear != nil && text != "" {
		if heard := q.hear(text); heard != "" && heard != text {
			return fmt.Sprintf("%s is %s", plain.Line(text), heard)
		}
		return ""
	}
	full, err := s.spelled(q, text)
	if err != nil {
		return ""
	}
	told, short := "", full != text
	switch what := q.quantity(); what {
	case aLength, thin:
		l, err := s.of.ParseLength(full)
		unit, rule := measure.LengthNamed(full), s.of.Ruler()
		if what == thin {
			rule.Step = s.of.Calliper().Step
		}
		if err == nil && (short || unit != "" && unit != s.of.Units.Length) {
			told = rule.WithUnit(l)
		}
	case aForce:
		f, err := s.of.ParseForce(full)
		unit := measure.ForceNamed(full)
		if err == nil && (short || unit != "" && unit != s.of.Units.Force) {
			told = s.of.Weigher().WithUnit(f)
		}
	}
	if told == "" {
		return ""
	}
	return fmt.Sprintf("%s is %s", plain.Line(text), told)
}
