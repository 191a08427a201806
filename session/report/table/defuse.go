package table

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// formula are the characters with which a cell begins that some spreadsheet runs: those of OWASP's "CSV
// Injection" and their wide forms.
const formula = "=+-@|%\t\r＝＋－＠"

// changes reports whether a spreadsheet could run text as a formula, or rewrite it as a number or a day, such
// as 00123, 1e5 or 3/4; behind blanks and apostrophes too.
func changes(text string) bool {
	text = strings.TrimLeft(text, "'")
	if strings.Trim(text, "0123456789.,:/-+eE% \n") == "" && strings.ContainsAny(text, "0123456789") {
		return true
	}
	trimmed := strings.TrimLeftFunc(text, func(r rune) bool {
		return r != '\t' && r != '\r' && (unicode.IsSpace(r) || unicode.In(r, unicode.Cf, unicode.Cc))
	})
	first, size := utf8.DecodeRuneInString(trimmed)
	return size > 0 && strings.ContainsRune(formula, first)
}

// defuse turns text into a cell that every spreadsheet leaves as it is: an apostrophe goes before what it
// could run or change, and control characters are spelled out. restore takes both back.
func defuse(text string) string {
	// restore finds the apostrophe by the text as spelled, so it is set by that.
	spelled := spell(text)
	if changes(spelled) {
		return "'" + spelled
	}
	return spelled
}

// restore returns the text of a cell that defuse wrote. A cell typed by hand stays as it is, except for
// backslashes that look like defuse's.
func restore(cell string) string {
	if rest, marked := strings.CutPrefix(cell, "'"); marked && changes(rest) {
		cell = rest
	}
	return unspell(cell)
}

// spell writes control characters, which spreadsheets lose or change, as \r, \t and \x00, and a backslash
// twice. Line feeds stay.
func spell(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '\\':
			b.WriteString(`\\`)
		case r == '\r':
			b.WriteString(`\r`)
		case r == '\t':
			b.WriteString(`\t`)
		case r != '\n' && unicode.Is(unicode.Cc, r):
			fmt.Fprintf(&b, `\x%02x`, r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

func unspell(cell string) string {
	var b strings.Builder
	for {
		before, after, found := strings.Cut(cell, `\`)
		b.WriteString(before)
		if !found {
			return b.String()
		}
		char, length := '\\', 0
		switch {
		case strings.HasPrefix(after, `\`):
			length = 1
		case strings.HasPrefix(after, "r"):
			char, length = '\r', 1
		case strings.HasPrefix(after, "t"):
			char, length = '\t', 1
		case len(after) >= 3 && after[0] == 'x':
			if code, err := strconv.ParseUint(after[1:3], 16, 8); err == nil {
				char, length = rune(code), 3
			}
		}
		b.WriteRune(char)
		cell = after[length:]
	}
}

// decimal is a number as a cell, exactly; adding 0 takes the sign off a zero.
func decimal(v float64) string { return strconv.FormatFloat(v+0, 'f', -1, 64) }
