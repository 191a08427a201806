package look

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
)

// xterm and VGA text mode give the first 16 colours these values unless they are told otherwise; what a terminal makes of them is its
// own. Source: the table of common defaults in an encyclopedia's article on ANSI escape codes (read).
var (
	xterm = [16]string{
		"#000000", "#cd0000", "#00cd00", "#cdcd00", "#0000ee", "#cd00cd", "#00cdcd", "#e5e5e5",
		"#7f7f7f", "#ff0000", "#00ff00", "#ffff00", "#5c5cff", "#ff00ff", "#00ffff", "#ffffff",
	}
	vga = [16]string{
		"#000000", "#aa0000", "#00aa00", "#aa5500", "#0000aa", "#aa00aa", "#00aaaa", "#aaaaaa",
		"#555555", "#ff5555", "#55ff55", "#ffff55", "#5555ff", "#ff55ff", "#55ffff", "#ffffff",
	}
)

// every is every style there is, by name.
func every(s Styles) map[string]lipgloss.Style {
	return map[string]lipgloss.Style{
		"plain": s.Plain, "strong": s.Strong, "quiet": s.Quiet, "accent": s.Accent, "good": s.Good, "caution": s.Caution, "bad": s.Bad,
		"chosen": s.Chosen, "cold": s.Cold, "warm": s.Warm,
		"pass 0": s.passes[0], "pass 1": s.passes[1], "pass 2": s.passes[2],
	}
}

// The terminal's background is not known, so each colour that is sent must stand out on black and on white by 3:1, which WCAG 2.2
// asks of large text and of graphics (1.4.3, 1.4.11).
func TestEveryColourStandsOutOnBlackAndOnWhite(t *testing.T) {
	least := 21.0
	for _, profile := range []Profile{Colours16, Colours256, TrueColour} {
		seen := 0
		for name, style := range every(New(io.Discard, profile, false)) {
			for _, colour := range sent(t, style.Render("x")) {
				seen++
				// WCAG 2.2: 0.2126 R + 0.7152 G + 0.0722 B, each made linear.
				red, green, blue := termenv.ConvertToRGB(termenv.RGBColor(colour)).LinearRgb()
				l := 0.2126*red + 0.7152*green + 0.0722*blue
				onBlack, onWhite := (l+0.05)/0.05, 1.05/(l+0.05)
				least = min(least, onBlack, onWhite)
				if onBlack < 3 || onWhite < 3 {
					t.Errorf("profile %d, %s, %s: contrast %.2f on black, %.2f on white; want 3 on both", profile, name, colour, onBlack, onWhite)
				}
			}
		}
		if seen < 6 {
			t.Errorf("profile %d sends %d colours only", profile, seen)
		}
	}
	t.Logf("the least contrast is %.2f", least)
}

// sent are the colours that a text is sent in: of one of the first 16 all that it usually comes out as.
func sent(t *testing.T, text string) (colours []string) {
	t.Helper()
	head, _, _ := strings.Cut(strings.TrimPrefix(text, "\x1b["), "m")
	if head == text {
		return nil
	}
	var codes []int
	for _, code := range strings.Split(head, ";") {
		n, err := strconv.Atoi(code)
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		codes = append(codes, n)
	}
	bold := slices.Contains(codes, 1)
	for i := 0; i < len(codes); i++ {
		switch c := codes[i]; {
		case c == 38 && codes[i+1] == 5:
			colours = append(colours, termenv.ConvertToRGB(termenv.ANSI256Color(codes[i+2])).Hex())
			i += 2
		case c == 38 && codes[i+1] == 2:
			colours = append(colours, fmt.Sprintf("#%02x%02x%02x", codes[i+2], codes[i+3], codes[i+4]))
			i += 4
		case c >= 30 && c <= 37:
			colours = append(colours, xterm[c-30], vga[c-30])
			if bold {
				colours = append(colours, xterm[c-30+8], vga[c-30+8])
			}
		case c >= 90 && c <= 97:
			colours = append(colours, xterm[c-90+8], vga[c-90+8])
		}
	}
	return colours
}

// Without colours nothing but letters is sent, and the cursor is seen nevertheless.
func TestWithoutColoursOnlyLettersAreSent(t *testing.T) {
	s := New(io.Discard, NoColour, false)
	for name, style := range every(s) {
		if got := style.Render("x"); got != "x" {
			t.Errorf("%s sends %q", name, got)
		}
	}
	if s.Cursor() != "_" {
		t.Errorf("the cursor is %q", s.Cursor())
	}
}

// Passes differ in stroke and in mark, so that no colour is needed to tell them apart.
func TestPensDifferWithoutColour(t *testing.T) {
	s := New(io.Discard, NoColour, true)
	seen := make(map[[2]any]bool)
	for age := range 3 {
		pen := s.Pass(age)
		key := [2]any{pen.Stroke, pen.Point}
		if seen[key] {
			t.Errorf("pass %d is drawn like another", age)
		}
		seen[key] = true
	}
}
