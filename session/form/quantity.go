package form

import (
	"fmt"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// quantity is what a question asks for, as far as that has a unit which may be another than the field's.
type quantity int

const (
	noQuantity quantity = iota // words
	aLength                    // by the rule
	thin                       // a length by a calliper or a gauge
	aRow                       // of lengths, as parseStations reads them
	aForce
	aCount
	aNumber
)

// quantity is what the question asks for.
func (q Question) quantity() quantity {
	switch q.Unit {
	case string(measure.Inch), string(measure.Centimetre), string(measure.Millimetre):
		return max(q.measures, aLength)
	case measure.PoundForce.Symbol(), measure.KilogramForce.Symbol(), measure.Newton.Symbol():
		return aForce
	}
	return q.measures
}

// Heard is what a text that names another unit than the current field's is in that of the field: "162mm is
// 6 3/8 in"; "" where there is nothing to be told.
func (s *Sheet) Heard(text string) string {
	q, ok := s.Current()
	if !ok {
		return ""
	}
	text = strings.TrimSpace(text)
	told := ""
	switch what := q.quantity(); what {
	case aLength, thin:
		l, err := s.of.ParseLength(text)
		if unit := measure.LengthNamed(text); err != nil || unit == "" || unit == s.of.Units.Length {
			return ""
		}
		rule := s.of.Ruler()
		if what == thin {
			rule.Step = s.of.Calliper().Step
		}
		told = rule.WithUnit(l)
	case aForce:
		f, err := s.of.ParseForce(text)
		if unit := measure.ForceNamed(text); err != nil || unit == "" || unit == s.of.Units.Force {
			return ""
		}
		told = s.of.Weigher().WithUnit(f)
	default:
		return ""
	}
	return fmt.Sprintf("%s is %s", plain.Line(text), told)
}

// carried is a text that was typed where a bare number had other units, as it says the same where it has
// these.
func carried(text string, what quantity, from, to measure.Units) string {
	switch what {
	case aLength, thin:
		if l, err := measure.ParseLength(text, from.Length); from.Length != to.Length && err == nil &&
			l != 0 && measure.LengthNamed(text) == "" {
			return strings.TrimSpace(text) + string(from.Length)
		}
	case aForce:
		if f, err := measure.ParseForce(text, from.Force); from.Force != to.Force && err == nil &&
			f != 0 && measure.ForceNamed(text) == "" {
			return strings.TrimSpace(text) + from.Force.Symbol()
		}
	case aRow:
		if from.Length == to.Length {
			return text
		}
		if step, isEvery := everyStep(text); isEvery {
			return "every " + carried(step, aLength, from, to)
		}
		words := stationWords(text)
		for i, word := range words {
			words[i] = carried(word, aLength, from, to)
		}
		return strings.Join(words, ", ")
	}
	return text
}
