// Package plain makes strangers' text safe to show: names and notes come from files and keyboards, and may
// hold terminal escape sequences, marks that turn the direction of writing, or worse. What is kept in the
// book stays as it came; only what is shown goes through here. It must not know what a text means.
package plain

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf16"
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

// JSON is a JSON document in which each character that Line would not show is written as \u and its number,
// so that it steers nothing wherever it is shown. It says the same: outside of its texts a document has no
// such characters.
func JSON(doc []byte) []byte {
	out := make([]byte, 0, len(doc))
	for len(doc) > 0 {
		r, size := utf8.DecodeRune(doc)
		if r < 0x7f || Line(string(r)) == string(r) {
			out = append(out, doc[:size]...)
		} else {
			for _, unit := range utf16.AppendRune(nil, r) {
				out = fmt.Appendf(out, `\u%04x`, unit)
			}
		}
		doc = doc[size:]
	}
	return out
}

// JSONWriter writes JSON to a writer by way of JSON. What it is given in one piece must not end within a
// character.
type JSONWriter struct{ To io.Writer }

func (w JSONWriter) Write(doc []byte) (int, error) {
	if _, err := w.To.Write(JSON(doc)); err != nil {
		return 0, err
	}
	return len(doc), nil
}
