package plain

import (
	"testing"
	"unicode"

	"pgregory.net/rapid"
)

func TestLineKeepsLettersAndDropsWhatSteersTheTerminal(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Ash for Wren", "Ash for Wren"},
		{"red \x1b[31mname\x07", "red [31mname"},
		{"csi \u009b2J", "csi 2J"},
		{"abc\u202edef\u2066g\u2069", "abcdefg"},
		{"two\nlines\tand\r\nmore ", "two lines and more"},
		{"עץ אש", "עץ אש"},
		{"弓", "弓"},
		{"zero\u200bwidth\ufeff", "zerowidth"},
		{"bad\xffbyte", "bad\ufffdbyte"},
	} {
		if got := Line(c.text); got != c.want {
			t.Errorf("Line(%q) = %q, want %q", c.text, got, c.want)
		}
	}
}

func TestLineIsOnePrintableLineAndSettled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := Line(rapid.String().Draw(t, "text"))
		for _, r := range line {
			if !unicode.IsPrint(r) && r != '\ufffd' && unicode.IsControl(r) {
				t.Fatalf("%q holds %U", line, r)
			}
		}
		if again := Line(line); again != line {
			t.Fatalf("%q becomes %q", line, again)
		}
	})
}
