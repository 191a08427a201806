package digits

import (
	"strings"
	"unicode/utf8"
)

// Size is one of the heights in which figures are written.
type Size int

// The sizes. Large is five rows of full blocks, Small three rows of half blocks, the upper half
// of the first row blank. Huge is twice as high and wide as Large. The narrow ones are as high as
// those, and half as wide.
const (
	Large Size = iota
	Small
	Narrow
	Huge
	HugeNarrow
)

// Rows returns how many rows a text takes.
func (s Size) Rows() int {
	switch s {
	case Small:
		return 3
	case Huge, HugeNarrow:
		return 2 * dots
	}
	return dots
}

// Height returns how many rows high the figures themselves are.
func (s Size) Height() float64 {
	if s == Small {
		return dots / 2.0
	}
	return float64(s.Rows())
}

// Slim returns the size as high as s that takes the least width.
func (s Size) Slim() Size {
	switch s {
	case Huge:
		return HugeNarrow
	case Large:
		return Narrow
	}
	return s
}

// across is how many cells one dot of a glyph is wide: cells are about twice as
// high as wide, and a dot is to be square but where room is short.
func (s Size) across() int {
	switch s {
	case Small, Narrow:
		return 1
	case Huge:
		return 4
	}
	return 2
}

// Width returns how many cells wide Render writes the text.
func Width(text string, s Size) int {
	w := 0
	for i, g := range glyphs(text) {
		if i > 0 {
			w += s.across()
		}
		w += g.width() * s.across()
	}
	return w
}

// Fit returns the largest size in which the text is at most width cells wide and
// height cells high, and whether there is one.
func Fit(text string, width, height int) (Size, bool) {
	for _, s := range []Size{Huge, HugeNarrow, Large, Narrow, Small} {
		if Width(text, s) <= width && s.Rows() <= height {
			return s, true
		}
	}
	return Small, false
}

// Render writes the text in block figures: s.Rows() lines of Width cells each,
// without a newline at the end. A character that has no figure is written small,
// in the middle of its place, or left blank if it doesn't fill one cell; bytes
// that are no UTF-8 are blanks.
func Render(text string, s Size, ascii bool) string {
	gs := glyphs(text)
	lines := make([]string, s.Rows())
	for row := range lines {
		var b strings.Builder
		for i, g := range gs {
			if i > 0 {
				b.WriteString(strings.Repeat(" ", s.across()))
			}
			g.write(&b, row, s, ascii)
		}
		lines[row] = b.String()
	}
	return strings.Join(lines, "\n")
}

func glyphs(text string) []glyph {
	gs := make([]glyph, 0, utf8.RuneCountInString(text))
	for _, r := range text {
		gs = append(gs, glyphOf(r))
	}
	return gs
}
