// Package plain makes strangers' text safe to show: names and notes come from files and keyboards, and may
// hold terminal escape sequences, marks that turn the direction of writing, or worse. The book keeps text as
// it came; only what is shown goes through here.
package plain

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// Line turns text into one line that any terminal can show. Any white space becomes a blank; control
// characters, direction marks and other invisible characters are dropped; bytes that are no character become
// U+FFFD. Letters of every script stay.
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

// invisible reports whether r is a control or format character, such as a bidirectional mark.
func invisible(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Variation_Selector)
}

// JSON escapes each character of a JSON document that Line would drop, so that it is harmless wherever it is
// shown. The meaning stays: outside its texts a document has no such characters.
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

// JSONWriter escapes what is written to it like JSON. A piece must not end within a character.
type JSONWriter struct{ To io.Writer }

func (w JSONWriter) Write(doc []byte) (int, error) {
	if _, err := w.To.Write(JSON(doc)); err != nil {
		return 0, err
	}
	return len(doc), nil
}

// Plural formats args by the text for one thing or for many, as n is one or not.
func Plural(n int, one, many string, args ...any) string {
	if n == 1 {
		return fmt.Sprintf(one, args...)
	}
	return fmt.Sprintf(many, args...)
}
