package look

import (
	"io"
	"math"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/lucasb-eyer/go-colorful"
)

// The terminal's background is not known, so each colour must stand out on black and on white.
// Contrast ratio: Web Content Accessibility Guidelines 2.1, "relative luminance" and "contrast ratio" (from memory);
// 3:1 is what they ask of large text and graphics.
func TestEveryColourStandsOutOnBlackAndOnWhite(t *testing.T) {
	for name, colour := range map[string]lipgloss.CompleteColor{"amber": amber, "teal": teal, "green": green, "red": red, "grey": grey, "purple": purple} {
		c, err := colorful.Hex(colour.TrueColor)
		if err != nil {
			t.Fatal(err)
		}
		luminance := 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
		onBlack, onWhite := (luminance+0.05)/0.05, 1.05/(luminance+0.05)
		if onBlack < 3 || onWhite < 3 {
			t.Errorf("%s %s: contrast %.2f on black, %.2f on white; want 3 on both", name, colour.TrueColor, onBlack, onWhite)
		}
	}
}

func linear(v float64) float64 {
	if v <= 0.03928 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
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
