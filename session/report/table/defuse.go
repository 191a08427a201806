package table

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// formula has the characters that make a spreadsheet run a cell (OWASP, "CSV Injection").
const formula = "=+-@|%\t\r＝＋－＠"

// changes reports whether a spreadsheet could run text as a formula, or rewrite it as a number or a day.
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

// defuse turns text into a cell that spreadsheets leave as it is: an apostrophe stops what they could run.
func defuse(text string) string {
	// restore sees only the spelled text, so that decides about the apostrophe here too.
	spelled := spell(text)
	if changes(spelled) {
		return "'" + spelled
	}
	return spelled
}

// restore undoes defuse. Text typed by hand comes back as it is, unless it has the same backslashes.
func restore(cell string) string {
	if rest, marked := strings.CutPrefix(cell, "'"); marked && changes(rest) {
		cell = rest
	}
	return unspell(cell)
}

// spell writes characters that spreadsheets lose or change, or that are not seen, as \r, \t, \x00 and \u202e.
func spell(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case !spelled(r):
			b.WriteRune(r)
		case r > 0xff, strings.ContainsRune("\\\r\t", r):
			b.WriteString(strings.Trim(strconv.QuoteRuneToASCII(r), "'"))
		default:
			fmt.Fprintf(&b, `\x%02x`, r)
		}
	}
	return b.String()
}

func spelled(r rune) bool {
	return r == '\\' || r != '\n' && unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp)
}

var spelling = regexp.MustCompile(`\\([\\rt]|x[0-9a-f]{2}|u[0-9a-f]{4}|U[0-9a-f]{8})`)

// unspell undoes spell and leaves other backslashes alone.
func unspell(cell string) string {
	return spelling.ReplaceAllStringFunc(cell, func(s string) string {
		if r, _, _, err := strconv.UnquoteChar(s, 0); err == nil && spelled(r) {
			return string(r)
		}
		return s
	})
}
