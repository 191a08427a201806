package ui

import (
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"bendbook/ui/look"
)

// How a golden file shows a screen. It has for each window the text as it is without colours, then under it which style each
// cell has, by a letter, then those lines that are spelled otherwise in plain ASCII. With 256 and 16 colours the text must be the same
// and the styles too, as far as they look different there; what a letter stands for is in testdata/styles.txt.

// styleLetters name the styles in golden files. Styles that look alike share the first one's letter.
var styleLetters = []struct {
	letter byte
	name   string
	of     func(look.Styles) lipgloss.Style
}{
	{'s', "strong", func(s look.Styles) lipgloss.Style { return s.Strong }},
	{'q', "quiet", func(s look.Styles) lipgloss.Style { return s.Quiet }},
	{'a', "accent, the newest pass, the upper limb", func(s look.Styles) lipgloss.Style { return s.Accent }},
	{'g', "good", func(s look.Styles) lipgloss.Style { return s.Good }},
	{'c', "caution", func(s look.Styles) lipgloss.Style { return s.Caution }},
	{'C', "a question", func(s look.Styles) lipgloss.Style { return s.Caution.Reverse(true) }},
	{'b', "bad", func(s look.Styles) lipgloss.Style { return s.Bad }},
	{'B', "a refusal", func(s look.Styles) lipgloss.Style { return s.Bad.Reverse(true) }},
	{'r', "chosen", func(s look.Styles) lipgloss.Style { return s.Chosen }},
	{'1', "the pass before, the lower limb", func(s look.Styles) lipgloss.Style { return s.Pass(1).Style }},
	{'2', "the pass before that", func(s look.Styles) lipgloss.Style { return s.Pass(2).Style }},
}

// coloured are the kinds of terminals that have colours.
var coloured = []struct {
	name    string
	profile look.Profile
}{{"all colours", look.TrueColour}, {"256 colours", look.Colours256}, {"16 colours", look.Colours16}}

// sgr is an escape sequence that sets how the next letters look.
var sgr = regexp.MustCompile("\x1b\\[([0-9;]*)m")

// code is what a style sends before its text; "" for nothing.
func code(style lipgloss.Style) string {
	if match := sgr.FindStringSubmatch(style.Render("x")); match != nil {
		return match[1]
	}
	return ""
}

// letters gives the letter of what a terminal of this kind is sent.
func letters(profile look.Profile) map[string]byte {
	s := look.New(io.Discard, profile, false)
	of := map[string]byte{"": ' ', "0": ' '}
	for _, style := range styleLetters {
		if sent := code(style.of(s)); of[sent] == 0 {
			of[sent] = style.letter
		}
	}
	return of
}

// as gives letters of styles as a terminal of this kind can tell them apart.
func as(profile look.Profile, styles string) string {
	s, of := look.New(io.Discard, profile, false), letters(profile)
	like := make(map[rune]rune)
	for _, style := range styleLetters {
		like[rune(style.letter)] = rune(of[code(style.of(s))])
	}
	return strings.Map(func(r rune) rune {
		if l, known := like[r]; known {
			return l
		}
		return r
	}, styles)
}

// What each letter of the golden files is on each kind of terminal.
func TestStylesLookAsTheyDid(t *testing.T) {
	var b strings.Builder
	for _, kind := range coloured {
		s := look.New(io.Discard, kind.profile, false)
		fmt.Fprintf(&b, "-- %s --\n", kind.name)
		for _, style := range styleLetters {
			fmt.Fprintf(&b, "%c  %-24s %s\n", style.letter, code(style.of(s)), style.name)
		}
	}
	golden(t, filepath.Join("testdata", "styles.txt"), b.String())
}

// asciiOnly says that the texts of a view are the program's own, which are plain ASCII where the terminal wants that.
const asciiOnly = true

// pictures are the screen as it is shown now in all windows on all terminals.
func (h *hands) pictures(asciiOnly bool) string {
	h.t.Helper()
	var b strings.Builder
	for _, size := range sizes {
		width, height := size[0], size[1]
		h.resize(width, height)
		text := trimmed(h.drawn(look.NoColour, false, width, height))
		styles := ""
		for _, kind := range coloured {
			gotText, gotStyles := parted(h.t, h.drawn(kind.profile, false, width, height), letters(kind.profile))
			gotText, gotStyles = trimmed(gotText), trimmed(gotStyles)
			if gotText != text {
				h.t.Errorf("%d by %d: with %s another text. %s", width, height, kind.name, firstDifference(text, gotText))
			}
			if kind.profile == look.TrueColour {
				styles = gotStyles
			}
			if want := trimmed(as(kind.profile, styles)); gotStyles != want {
				h.t.Errorf("%d by %d: with %s other styles. %s", width, height, kind.name, firstDifference(want, gotStyles))
			}
		}
		ascii := trimmed(h.drawn(look.NoColour, true, width, height))
		if at := strings.IndexFunc(ascii, func(r rune) bool { return r > '~' }); asciiOnly && at >= 0 {
			h.t.Errorf("%d by %d: in plain ASCII there is %.8q in\n%s", width, height, ascii[at:], ascii)
		}
		fmt.Fprintf(&b, "-- %dx%d --\n%s-- %dx%d styles --\n%s-- %dx%d ASCII --\n%s",
			width, height, text, width, height, styles, width, height, spelledLines(text, ascii))
	}
	return b.String()
}

// drawn is what a terminal of this kind is sent.
func (h *hands) drawn(profile look.Profile, ascii bool, width, height int) string {
	h.t.Helper()
	h.app.desk.Styles = look.New(io.Discard, profile, ascii)
	h.fits(width, height)
	return h.app.View()
}

// parted parts what is sent into its text and the letters of its styles, cell by cell.
func parted(t testing.TB, sent string, letters map[string]byte) (text, styles string) {
	t.Helper()
	var texts, cells strings.Builder
	letter := byte(' ')
	put := func(part string) {
		for i, line := range strings.Split(part, "\n") {
			if i > 0 {
				texts.WriteByte('\n')
				cells.WriteByte('\n')
			}
			texts.WriteString(line)
			cells.WriteString(strings.Repeat(string(letter), ansi.StringWidth(line)))
		}
	}
	at := 0
	for _, match := range sgr.FindAllStringSubmatchIndex(sent, -1) {
		put(sent[at:match[0]])
		at = match[1]
		known := false
		if letter, known = letters[sent[match[2]:match[3]]]; !known {
			t.Errorf("%q is no style of package look, before %.40q", sent[match[0]:match[1]], sent[at:])
			letter = '!'
		}
	}
	put(sent[at:])
	return texts.String(), cells.String()
}

// trimmed is text without blanks at the ends of lines and without empty lines at its end, with a last line end.
func trimmed(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		b.WriteString(strings.TrimRight(line, " \n") + "\n")
	}
	return strings.TrimRight(b.String(), "\n") + "\n"
}

// spelledLines are those lines of the second text, with their numbers, that are not so in the first.
func spelledLines(text, ascii string) string {
	var b strings.Builder
	was := strings.Split(text, "\n")
	for i, line := range strings.Split(ascii, "\n") {
		if i >= len(was) || line != was[i] {
			fmt.Fprintf(&b, "%2d|%s\n", i+1, line)
		}
	}
	return b.String()
}

// firstDifference tells where two texts part.
func firstDifference(want, got string) string {
	was, now := strings.Split(want, "\n"), strings.Split(got, "\n")
	head := ""
	for i := range max(len(was), len(now)) {
		var w, n string
		if i < len(was) {
			w = was[i]
		}
		if i < len(now) {
			n = now[i]
		}
		if strings.HasPrefix(n, "-- ") {
			head = n
		}
		if w != n {
			return fmt.Sprintf("Line %d, %s:\nthen %s\nnow  %s", i+1, head, w, n)
		}
	}
	return "They are the same."
}
