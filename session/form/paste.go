package form

import (
	"fmt"
	"strings"
	"unicode"
)

// Values are the values of a text that holds several, as it is copied from a list or a spreadsheet: "5/16
// 1/2 1 1/4", one on each line, or between tabs or semicolons. A fraction belongs to the whole number
// before it, and a unit to its figure. A comma parts values where a blank or the end follows; else it is a
// decimal one. A text of one value comes back as it is, but for blanks around it.
func Values(text string) []string {
	var values []string
	for _, line := range strings.FieldsFunc(text,
		func(r rune) bool { return strings.ContainsRune("\r\n\t;\v\f", r) }) {
		// A list in words is no list of values: it stays as it is.
		begin := len(values)
		for _, word := range strings.Fields(line) {
			word, ends := strings.CutSuffix(word, ",")
			n := len(values)
			if joins := n > begin && (isFraction(word) && isWhole(values[n-1]) || !hasDigit(word)); joins {
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

// Fill puts values into the current field and those after it, one into each, as if they were typed and
// confirmed; the sheet then stands at the first that is refused or doubtful, with those after it filled in
// and yet to be confirmed, or behind the last. The error says why nothing was filled in: there are more
// values than fields, or a field that is answered would lose its answer.
func (f *Form) Fill(values []string) (v Verdict, kept *Kept, err error) {
	f.saving = false
	s := f.Sheet
	var into []string
	for _, q := range s.Questions[min(s.At(), len(s.Questions)):] {
		if q.Beside {
			continue
		}
		if q.Unit == "" || len(into) == len(values) {
			break
		}
		if text := strings.TrimSpace(s.answers[q.Name]); text != "" && text != values[len(into)] {
			return Verdict{}, nil, fmt.Errorf("%d values were pasted, and %s, %s, is %s already: nothing "+
				"was filled in", len(values), q.Label, q.Group, text)
		}
		into = append(into, q.Name)
	}
	if n := len(into); n < len(values) {
		return Verdict{}, nil, fmt.Errorf("%d values were pasted, and there is room for %d: nothing was "+
			"filled in", len(values), n)
	}
	for i, name := range into {
		s.answers[name] = values[i]
	}
	// What follows the first that is not taken is kept too.
	if err := f.saveDraft(); err != nil {
		return Verdict{}, nil, fmt.Errorf("the draft is not on disk: %w", err)
	}
	for range values {
		q, _ := s.Current()
		if v, kept, err = f.Enter(s.answers[q.Name]); v.State != Taken || kept != nil || err != nil {
			break
		}
	}
	return v, kept, err
}
