package look

import (
	"bendbook/ui/graph"
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

// Each colour that is sent stands out on the backgrounds that it is for, by 4.5:1, which WCAG 2.2 asks of text (1.4.3); where the
// background is unknown by 3:1 on all of them, which it asks of large text and of graphics (1.4.11). Beside black and white stand the
// backgrounds of two dark themes and a light one that are much used.
func TestEveryColourStandsOut(t *testing.T) {
	light, dark := []string{"#ffffff", "#fdf6e3"}, []string{"#000000", "#282a36", "#002b36"}
	luminance := func(colour string) float64 {
		// WCAG 2.2: 0.2126 R + 0.7152 G + 0.0722 B, each made linear.
		red, green, blue := termenv.ConvertToRGB(termenv.RGBColor(colour)).LinearRgb()
		return 0.2126*red + 0.7152*green + 0.0722*blue
	}
	for _, c := range []struct {
		on    Background
		least float64
		backs []string
	}{{onLight, 4.5, light}, {onDark, 4.5, dark}, {Unknown, 3, slices.Concat(light, dark)}} {
		for _, profile := range []Profile{Colours16, Colours256, TrueColour} {
			seen, worst := 0, 21.0
			for name, style := range every(New(io.Discard, profile, c.on, false)) {
				for _, colour := range sent(t, style.Render("x")) {
					seen++
					for _, back := range c.backs {
						a, b := luminance(colour)+0.05, luminance(back)+0.05
						contrast := max(a/b, b/a)
						if worst = min(worst, contrast); contrast < c.least {
							t.Errorf("background %d, profile %d, %s: %s on %s has %.2f", c.on, profile, name, colour, back, contrast)
						}
					}
				}
			}
			if seen < 4 && (profile != Colours16 || c.on != Unknown) {
				t.Errorf("background %d, profile %d: %d colours only", c.on, profile, seen)
			}
			t.Logf("background %d, profile %d: %d colours, the least contrast %.2f", c.on, profile, seen, worst)
		}
	}
}

func TestBackgroundByTheEnvironment(t *testing.T) {
	for _, c := range []struct {
		term, fgbg string
		want       Background
	}{{"xterm", "", Unknown}, {"linux", "", onDark}, {"rxvt", "15;0", onDark}, {"rxvt", "0;default;15", onLight}, {"rxvt", "0;9", Unknown}} {
		if got := BackgroundOf(c.term, c.fgbg); got != c.want {
			t.Errorf("%s, %q: %d, want %d", c.term, c.fgbg, got, c.want)
		}
	}
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
	s := New(io.Discard, NoColour, Unknown, false)
	for name, style := range every(s) {
		if got := style.Render("x"); got != "x" {
			t.Errorf("%s sends %q", name, got)
		}
	}
	if s.Cursor() != "_" {
		t.Errorf("the cursor is %q", s.Cursor())
	}
}

// Curves differ in stroke or in mark, so that no colour is needed to tell them apart; nor, in plain ASCII, another
// character.
func TestPensDifferWithoutColour(t *testing.T) {
	for _, ascii := range []bool{false, true} {
		s := New(io.Discard, NoColour, Unknown, ascii)
		for _, pens := range [][]graph.Pen{{s.Pass(0), s.Pass(1), s.Pass(2)}, {s.Bold(), s.Thin(false), s.Thin(true)}} {
			seen := make(map[string]bool)
			for i, pen := range pens {
				drawn := s.Spell(pen.Key())
				if seen[drawn] {
					t.Errorf("curve %d is drawn like another: %s", i, drawn)
				}
				if seen[drawn] = true; ascii && strings.Trim(drawn, "-:.#ox+") != "" {
					t.Errorf("curve %d isn't in plain ASCII: %s", i, drawn)
				}
			}
		}
	}
}
