// Package plain makes strangers' text safe to show: names and notes come from files and keyboards, and may
// hold terminal escape sequences, marks that turn the direction of writing, or worse. What is kept in the
// book stays as it came; only what is shown goes through here. It must not know what a text means.
package plain

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Line is text as one line that any terminal can show: white space of any kind becomes a blank, control
// characters, marks that steer the direction of writing and other invisible ones are left out, and what is no
// character at all becomes U+FFFD. Letters of every script stay.
func Line(text string) string {
	var b strings.Builder
	b.Grow(len(text))
	blank := false
	for _, r := range text {
		switch {
		case unicode.IsSpace(r):
			blank = true
			continue
		case r == utf8.RuneError || unicode.Is(unicode.Co, r):
			r = utf8.RuneError
		case invisible(r):
			continue
		}
		if blank && b.Len() > 0 {
			b.WriteByte(' ')
		}
		blank = false
		b.WriteRune(r)
	}
	return b.String()
}

// invisible says whether r is a control or format character, such as a bidirectional mark.
func invisible(r rune) bool {
	return unicode.Is(unicode.Cc, r) || unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Zl, r) || unicode.Is(unicode.Zp, r) ||
		unicode.Is(unicode.Variation_Selector, r)
}
