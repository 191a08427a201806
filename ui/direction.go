package ui

import (
	"strings"
	"unicode"
)

// leftToRight is U+200E, which no terminal shows: what stands behind it goes on from left to right.
const leftToRight = "\u200e"

// steady closes each run of letters that are written from right to left by a mark, so that a terminal that turns them round leaves what
// stands behind them, a column of figures mostly, where it was put.
func steady(text string) string {
	if strings.IndexFunc(text, runsLeft) < 0 {
		return text
	}
	var b, gap strings.Builder // the gap is what may still lie within the run
	open, escape, blank := false, false, false
	end := func() {
		if open {
			b.WriteString(leftToRight + gap.String())
			gap.Reset()
			open = false
		}
	}
	for _, r := range text {
		within := !escape && (runsLeft(r) || unicode.Is(unicode.Mn, r) && gap.Len() == 0)
		switch {
		case escape:
			escape = r != 'm'
		case r == '\x1b':
			escape = true
		case runsLeft(r):
			b.WriteString(gap.String())
			gap.Reset()
			open, blank = true, false
		case within: // a point or an accent on the letter before
		case r == ' ' && blank, r == '\n', unicode.IsLetter(r), unicode.IsDigit(r), r >= '─' && r <= '█':
			end()
			blank = false
		default:
			blank = r == ' '
		}
		if open && !within {
			gap.WriteRune(r)
		} else {
			b.WriteRune(r)
		}
	}
	end()
	return b.String()
}

// runsLeft says whether a letter is of a script that is written from right to left.
func runsLeft(r rune) bool {
	return r >= 0x590 && unicode.IsLetter(r) && unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko, unicode.Adlam)
}
