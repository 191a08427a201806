package form

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bendbook/model/measure"
)

// Values parts a text as it is copied from a list or a spreadsheet: "5/16 1/2 1 1/4", one value on each line,
// or between tabs or semicolons. A fraction belongs to the whole number before it, and a unit to its figure.
// A comma parts values where a blank or the end follows; else it is a decimal comma.
func Values(text string) []string {
	var values []string
	for _, line := range strings.FieldsFunc(text,
		func(r rune) bool { return strings.ContainsRune("\r\n\t;\v\f", r) }) {
		begin := len(values)
		for _, word := range strings.Fields(line) {
			word, ends := strings.CutSuffix(word, ",")
			n := len(values)
			joins := n > begin && (isFraction(word) && isWhole(values[n-1]) && values[n-1] != "0" || !hasDigit(word))
			if joins {
				values[n-1] += " " + word
			} else if word != "" {
				values = append(values, word)
			}
			if ends {
				begin = len(values)
			}
		}
	}
	return values
}

func isWhole(word string) bool {
	word = strings.TrimLeft(word, "+-−")
	return word != "" && strings.Trim(word, "0123456789") == ""
}

func hasDigit(word string) bool { return strings.ContainsFunc(word, unicode.IsNumber) }

// isFraction reports a fraction without its whole number: 1/2 or ½.
func isFraction(word string) bool {
	first, _ := utf8.DecodeRuneInString(word)
	return strings.ContainsRune("½¼¾⅛⅜⅝⅞", first) ||
		(strings.ContainsAny(word, "/⁄") && !strings.Contains(word, "-"))
}

var number = regexp.MustCompile(`^[-+−]?[.,]?[\d½¼¾⅛⅜⅝⅞]`)

// valueWords counts the words of the value that words begin with: a number with the fraction and the unit
// behind it. It returns 0 where they begin with none.
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

func isUnit(word string) bool {
	if slices.Contains([]string{"%", "s", "C", "F", "°C", "°F"}, word) {
		return true
	}
	if hasDigit(word) {
		return false
	}
	_, noLength := measure.ParseLength("1"+word, measure.Inch)
	_, noForce := measure.ParseForce("1"+word, measure.PoundForce)
	return noLength == nil && measure.LengthNamed(word) != "" || noForce == nil && measure.ForceNamed(word) != ""
}

// everyStep cuts the distance out of a text like "every 4".
func everyStep(text string) (step string, isEvery bool) {
	step, isEvery = strings.CutPrefix(strings.ToLower(strings.TrimSpace(text)), "every ")
	return strings.TrimSpace(step), isEvery
}

// stationWords parts a list at its commas; one without commas as [Values] does.
func stationWords(text string) []string {
	if strings.ContainsAny(text, ",;") {
		return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' })
	}
	return Values(text)
}
