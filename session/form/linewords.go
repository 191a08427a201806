package form

import (
	"regexp"
	"slices"

	"bendbook/model/measure"
)

var times = regexp.MustCompile(`^[xX×](\d+)$`)

// spelled is a line with its shorthands written out: x15 is the count of strokes or pulls, 18-24 from and to.
func (l *lineReader) spelled(words []string) (out []string) {
	counted := slices.IndexFunc(l.Questions, func(q Question) bool { return q.measures == aCount })
	ranged := l.index("from") >= 0 && l.index("to") >= 0
	for _, word := range words {
		from, to, isRange := l.between(word)
		switch count := times.FindStringSubmatch(word); {
		case count != nil && counted >= 0:
			out = append(out, l.Questions[counted].Name, count[1])
		case isRange && ranged:
			// A whole number before it belongs to where it begins.
			if n := len(out); isFraction(from) && n > 0 && isWhole(out[n-1]) {
				from, out = out[n-1]+" "+from, out[:n-1]
			}
			out = append(out, "from", from, to)
		default:
			out = append(out, word)
		}
	}
	return out
}

// between parts a word at a hyphen into two lengths, where it is none itself.
func (l *lineReader) between(word string) (from, to string, ok bool) {
	if _, err := l.of.ParseLength(word); err == nil {
		return "", "", false
	}
	for i, r := range word {
		if i == 0 || r != '-' && r != '–' {
			continue
		}
		from, to = word[:i], word[i+len(string(r)):]
		_, noFrom := l.of.ParseLength(from)
		_, noTo := l.of.ParseLength(to)
		if noFrom == nil && noTo == nil {
			return from, to, true
		}
	}
	return "", "", false
}

var number = regexp.MustCompile(`^[-+−]?[.,]?[\d½¼¾⅛⅜⅝⅞]`)

// valueWords is of how many words the value is that words begin with: a number with the fraction and the unit
// behind it; 0 where they begin with none.
func valueWords(words []string) int {
	if !number.MatchString(words[0]) {
		return 0
	}
	n := 1
	if n < len(words) && isWhole(words[0]) && isFraction(words[n]) {
		n++
	}
	if n < len(words) && isUnit(words[n]) {
		n++
	}
	return n
}

// isUnit says whether a word is a unit and nothing else.
func isUnit(word string) bool {
	if slices.Contains([]string{"%", "s", "C", "F", "°C", "°F"}, word) {
		return true
	}
	if hasDigit(word) {
		return false
	}
	_, noLength := measure.ParseLength("1"+word, measure.Inch)
	_, noForce := measure.ParseForce("1"+word, measure.PoundForce)
	return noLength == nil && measure.LengthNamed(word) != "" ||
		noForce == nil && measure.ForceNamed(word) != ""
}
