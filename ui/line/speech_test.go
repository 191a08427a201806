package line

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"

	"bendbook/session"
	"bendbook/session/booktest"
)

// Many voices leave a sign out before a figure; none leaves out a word.
func TestSignsAreWords(t *testing.T) {
	for text, want := range map[string]string{
		"-1/8":                       "minus 1/8",
		"now -3/32 (-1/8 to -3/32)":  "now minus 3/32 (minus 1/8 to minus 3/32)",
		"at 8 in: +1/4":              "at 8 in: plus 1/4",
		"40 lb ± 2 at 28 in":         "40 lb plus or minus 2 at 28 in",
		"36.2 finished - 1.0 = 35.2": "36.2 finished less 1.0 is 35.2",
		// What is no sign stays.
		"2027-02-01, 6-3/8, number 270203-48-BCDF, the six-inch block": "2027-02-01, 6-3/8, number 270203-48-BCDF, the six-inch block",
	} {
		if got := spoken(text); got != want {
			t.Errorf("%q is said as %q, want %q", text, got, want)
		}
	}
}

func TestARowOfATableIsASentence(t *testing.T) {
	got := sayRow([]string{"out", "upper", "lower", "pass 4"}, []string{"8", "-1/16", "1/2", "-"})
	if want := "out 8: upper minus 1/16, lower 1/2."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestCommandsAreKnownByLetterAndWord(t *testing.T) {
	all := []command{{letter: "u", word: "undo"}, {letter: "U", word: "bring back"}, {letter: "/", word: "find"}, {letter: "l", word: "string length"}, {word: "string"}}
	for text, want := range map[string]string{
		"u": "undo:", "U": "bring back:", "undo": "undo:", "UNDO": "undo:", "Bring Back": "bring back:", "undoing": "", "/ash": "find:ash", "/ ash yew": "find:ash yew", "string length 70": "string length:70",
		"string x": "string:x", "ux": "", "u  3 ": "undo:3",
	} {
		found, rest, ok := match(all, strings.TrimSpace(text))
		got := ""
		if ok {
			got = found.word + ":" + rest
		}
		if got != want {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
	}
}

// hostile is a bow whose name and notes would steer a terminal.
const hostile = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"1","name":"` + "\u202eweY\u009b31m\u007f\U000e0041 ± 弓" +
	`","limbs":{"upper":{"length":34,"stations":[6]},"lower":{"length":33,"stations":[6]}},"order":{"for":"\u001b]0;x\u0007"}},"entries":[{"kind":"note","text":"\u001b[2J\u0008"},{"kind":"finish","step":"\u001b[1mfiled"}]}` + "\n"

func TestStrangersTextIsMadeSafe(t *testing.T) {
	now := time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC)
	for _, ascii := range []bool{false, true} {
		shop := session.Open(booktest.New(), session.Options{Now: func() time.Time { return now }})
		if err := shop.Import(strings.NewReader(hostile), func(session.Imported) {}); err != nil {
			t.Fatal(err)
		}
		lines := "all\n1\nt\ne\n2\n1\nq\nw all\nf\nl\nh\no\nq\nd\n.read\n\x1b[31m\n.drop\nn \u202eturned\x1b\nq\nc 1\n"
		var out bytes.Buffer
		if err := Run(context.Background(), Desk{Shop: shop, Place: time.UTC, ASCII: ascii}, strings.NewReader(lines), &out); err != nil {
			t.Error(err)
		}
		for _, r := range out.String() {
			if r < ' ' && r != '\n' || r >= 0x7f && r <= 0x9f || r == 0x202e || r >= 0xe0000 {
				t.Fatalf("%U is printed: %q", r, out.String())
			}
		}
		if !strings.Contains(out.String(), "弓") || strings.Contains(out.String(), "±") == ascii {
			t.Errorf("in ASCII %v: %s", ascii, out.String())
		}
	}
}

func TestWhatIsTypedIsNotPrintedAgain(t *testing.T) {
	shop := session.Open(booktest.New(), session.Options{})
	var out bytes.Buffer
	if err := Run(context.Background(), Desk{Shop: shop, Place: time.UTC, Typed: true}, strings.NewReader("nonsense\n"), &out); err != nil {
		t.Error("somebody who types is told at once, not at the end:", err)
	}
	if text := out.String(); strings.Contains(text, "nonsense") || !strings.Contains(text, "that cannot be said here") || !strings.HasSuffix(text, "rack> \n") {
		t.Errorf("printed %q", text)
	}
}

// What is asked about is done when it is said again at once, and a script that does not say it again sees so.
func TestADoubtfulStepIsLoggedWhenItIsSaidAgain(t *testing.T) {
	const bow = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"e","name":"Elm","limbs":{"upper":{"length":34},"lower":{"length":33}}}}`
	now := time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC)
	for lines, want := range map[string]string{
		"f elm\nx handed\nx handed\n":    "",
		"f elm\nx handed\nl\nx handed\n": `line 2 was not taken: "x handed": it was asked about, and not said again (and 1 more)`,
		"f elm\nx handed\n":              `line 2 was not taken: "x handed": it was asked about, and not said again`,
	} {
		shop := session.Open(booktest.New(), session.Options{Now: func() time.Time { return now }})
		if err := shop.Import(strings.NewReader(bow), func(session.Imported) {}); err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		err := Run(context.Background(), Desk{Shop: shop, Place: time.UTC}, strings.NewReader(lines), &out)
		got := ""
		if err != nil {
			got = err.Error()
		}
		if logged := strings.Contains(out.String(), "Saved 09:00: handed over."); got != want || logged != (want == "") {
			t.Errorf("%q ends with %q, want %q; logged: %v", lines, got, want, logged)
		}
	}
}
