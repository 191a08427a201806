package plain

import (
	"encoding/json"
	"errors"
	"maps"
	"strings"
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

// steered is any text with one of the given characters in it.
func steered(t *rapid.T, by ...string) string {
	return rapid.String().Draw(t, "text") + rapid.SampledFrom(by).Draw(t, "steering") +
		rapid.String().Draw(t, "more text")
}

func TestLineIsOnePrintableLineAndSettled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := Line(steered(t, "", "\x1b]0;x\a", "\u202e", "\u2067", "\u200d", "\u2028", "\U000e0041", "\r\n",
			"\ufe0f", "\x9b", "\u00a0"))
		for _, r := range line {
			hidden := unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Co)
			if hidden || unicode.IsSpace(r) && r != ' ' {
				t.Fatalf("%q holds %U", line, r)
			}
		}
		if strings.TrimSpace(line) != line || strings.Contains(line, "  ") {
			t.Fatalf("%q has idle blanks", line)
		}
		if again := Line(line); again != line {
			t.Fatalf("%q becomes %q", line, again)
		}
	})
}

func TestJSONSaysTheSameWithoutSteering(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := steered(t, "\u009b", "\u0085", "\u007f", "\u202e", "\u2066", "\u061c", "\u200f", "\u2028",
			"\U000e0041", "\ufeff", "弓", "🏹")
		doc, err := json.Marshal(map[string]string{text: text})
		if err != nil {
			t.Fatal(err)
		}
		escaped := JSON(doc)
		for _, r := range string(escaped) {
			if unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) {
				t.Fatalf("%q holds %U", escaped, r)
			}
		}
		var was, is map[string]string
		err = errors.Join(json.Unmarshal(doc, &was), json.Unmarshal(escaped, &is))
		if err != nil || !maps.Equal(was, is) {
			t.Fatalf("%s says %q, and said %q (%v)", escaped, is, was, err)
		}
		if again := JSON(escaped); string(again) != string(escaped) {
			t.Fatalf("%q becomes %q", escaped, again)
		}
	})
	if got := string(JSON([]byte("\"a\u009b\U000e0041 弓\""))); got != `"a\u009b\udb40\udc41 弓"` {
		t.Errorf("got %s", got)
	}
}
