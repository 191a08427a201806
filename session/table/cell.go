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

// changes says whether a spreadsheet could take text for a formula and run it, or for a number or a day and
// write it otherwise, such as 00123, 1e5 or 3/4; behind blanks and apostrophes too.
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

// defuse is text as a cell that every spreadsheet leaves as it is: with an apostrophe before what it could
// run or change, and with control characters spelled out. restore takes both back.
func defuse(text string) string {
	// The apostrophe is decided by the text as it was, so that it is found again by the text as it will be.
	spelled := spell(text)
	if changes(spelled) {
		return "'" + spelled
	}
	return spelled
}

// restore is the text of a cell that defuse wrote. A cell typed by hand stays as it is, but for backslashes
// that look like those of defuse.
func restore(cell string) string {
	if rest, marked := strings.CutPrefix(cell, "'"); marked && changes(rest) {
		cell = rest
	}
	return unspell(cell)
}

// spell writes control characters, which spreadsheets lose or change, as \r, \t and \x00, those that steer
// the direction of writing or are not seen as \u202e or \U000e0041, and a backslash twice. Line feeds stay.
func spell(text string) string {
	if !strings.ContainsFunc(text, spelled) {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '\\':
			b.WriteString(`\\`)
		case r == '\r':
			b.WriteString(`\r`)
		case r == '\t':
			b.WriteString(`\t`)
		case spelled(r):
			switch {
			case r <= 0xff:
				fmt.Fprintf(&b, `\x%02x`, r)
			case r <= 0xffff:
				fmt.Fprintf(&b, `\u%04x`, r)
			default:
				fmt.Fprintf(&b, `\U%08x`, r)
			}
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

func spelled(r rune) bool {
	return r == '\\' || r != '\n' && unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp)
}

// spellings is how many digits stand behind a letter; 0 behind one that spells nothing.
func spellings(letter byte) (digits int) {
	switch letter {
	case 'x':
		return 2
	case 'u':
		return 4
	case 'U':
		return 8
	}
	return 0
}

func unspell(cell string) string {
	if !strings.Contains(cell, `\`) {
		return cell
	}
	var b strings.Builder
	for cell != "" {
		before, after, found := strings.Cut(cell, `\`)
		b.WriteString(before)
		if !found {
			break
		}
		cell = after
		switch {
		case strings.HasPrefix(after, `\`):
			b.WriteByte('\\')
			cell = after[1:]
		case strings.HasPrefix(after, "r"):
			b.WriteByte('\r')
			cell = after[1:]
		case strings.HasPrefix(after, "t"):
			b.WriteByte('\t')
			cell = after[1:]
		default:
			r, n := numbered(after)
			if n == 0 {
				r = '\\'
			}
			b.WriteRune(r)
			cell = after[n:]
		}
	}
	return b.String()
}

// numbered is the character that a text begins with, spelled by its number, and the length of that; 0 where
// it is not.
func numbered(text string) (r rune, n int) {
	if text == "" {
		return 0, 0
	}
	digits := spellings(text[0])
	if digits == 0 || len(text) <= digits {
		return 0, 0
	}
	code, err := strconv.ParseUint(text[1:1+digits], 16, 32)
	if err != nil || !spelled(rune(code)) || code > unicode.MaxRune {
		return 0, 0
	}
	return rune(code), 1 + digits
}

// decimal is a number as a cell, exactly.
func decimal(v float64) string { return strconv.FormatFloat(v+0, 'f', -1, 64) } // + 0 takes the sign off a zero
