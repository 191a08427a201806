package look

import (
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
)

// xterm and VGA text mode give the first 16 colours these values unless they are told otherwise; what a terminal makes of them is its
// own. Source: the table of common defaults in an encyclopedia's article on ANSI escape codes (read).
var (
	xterm = [16]int{
		0x000000, 0xcd0000, 0x00cd00, 0xcdcd00, 0x0000ee, 0xcd00cd, 0x00cdcd, 0xe5e5e5,
		0x7f7f7f, 0xff0000, 0x00ff00, 0xffff00, 0x5c5cff, 0xff00ff, 0x00ffff, 0xffffff,
	}
	vga = [16]int{
		0x000000, 0xaa0000, 0x00aa00, 0xaa5500, 0x0000aa, 0xaa00aa, 0x00aaaa, 0xaaaaaa,
		0x555555, 0xff5555, 0x55ff55, 0xffff55, 0x5555ff, 0xff55ff, 0x55ffff, 0xffffff,
	}
)

// every is every style there is, by name.
func every(s Styles) map[string]lipgloss.Style {
	return map[string]lipgloss.Style{
		"plain": s.Plain, "strong": s.Strong, "quiet": s.Quiet, "accent": s.Accent, "good": s.Good, "caution": s.Caution, "bad": s.Bad,
		"chosen": s.Chosen, "pass 0": s.passes[0], "pass 1": s.passes[1], "pass 2": s.passes[2], "upper": s.limbs[0], "lower": s.limbs[1],
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
				l := luminance(colour)
				onBlack, onWhite := (l+0.05)/0.05, 1.05/(l+0.05)
				least = min(least, onBlack, onWhite)
				if onBlack < 3 || onWhite < 3 {
					t.Errorf("profile %d, %s, #%06x: contrast %.2f on black, %.2f on white; want 3 on both", profile, name, colour, onBlack, onWhite)
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
func sent(t *testing.T, text string) (colours []int) {
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
			colours = append(colours, cube(codes[i+2]))
			i += 2
		case c == 38 && codes[i+1] == 2:
			colours = append(colours, codes[i+2]<<16|codes[i+3]<<8|codes[i+4])
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

// cube is one of the colours 16 to 255 of xterm: a cube of 6 by 6 by 6, then 24 greys.
func cube(n int) int {
	if n >= 232 {
		return (8 + 10*(n-232)) * 0x010101
	}
	level := [6]int{0, 95, 135, 175, 215, 255}
	n -= 16
	return level[n/36]<<16 | level[n/6%6]<<8 | level[n%6]
}

// luminance is the relative luminance of an sRGB colour as WCAG 2.2 defines it: 0.2126 R + 0.7152 G + 0.0722 B, each made linear.
func luminance(colour int) float64 {
	linear := func(v int) float64 {
		c := float64(v&0xff) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(colour>>16) + 0.7152*linear(colour>>8) + 0.0722*linear(colour)
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

// Passes and limbs differ in stroke and in mark, so that no colour is needed to tell them apart.
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
	if a, b := s.Limb(0), s.Limb(1); a.Stroke == b.Stroke || a.Point == b.Point {
		t.Error("the limbs are drawn alike")
	}
}
