package digits

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"
)

// Size is one of the heights in which figures are written.
type Size int

// The sizes. Large is five rows of full blocks, Small three rows of half blocks, the upper half of the first
// row blank. Huge is twice as high and wide as Large. The narrow ones are as high as those, and half as wide.
const (
	Large Size = iota
	Small
	Narrow
	Huge
	HugeNarrow
)

// dots is how many rows of dots a figure has. In Large each is a row of cells; in Huge it is two rows, and in
// Small two share one, the first of them with nothing above it.
const dots = 5

// shape is how many rows a text takes, how many cells one dot is wide, and the narrowest size of that height.
// Cells are about twice as high as wide, and a dot is to be square.
func (s Size) shape() (rows, across int, slim Size) {
	switch s {
	case Small:
		return 3, 1, Small
	case Narrow:
		return dots, 1, Narrow
	case Huge:
		return 2 * dots, 4, HugeNarrow
	case HugeNarrow:
		return 2 * dots, 2, HugeNarrow
	}
	return dots, 2, Narrow
}

// Rows returns how many rows a text takes.
func (s Size) Rows() int { rows, _, _ := s.shape(); return rows }

// Slim returns the size as high as s that takes the least width.
func (s Size) Slim() Size { _, _, slim := s.shape(); return slim }

func (s Size) across() int { _, across, _ := s.shape(); return across }

// Width returns how many cells wide Render writes the text.
func Width(text string, s Size) int {
	width := 0
	for i, r := range []rune(text) {
		width += (min(i, 1) + len(picture(r)[0])) * s.across()
	}
	return width
}

// Fit returns the largest size in which the text is at most width by height cells, and whether there is one.
func Fit(text string, width, height int) (Size, bool) {
	for _, s := range []Size{Huge, HugeNarrow, Large, Narrow, Small} {
		if Width(text, s) <= width && s.Rows() <= height {
			return s, true
		}
	}
	return Small, false
}

// Render writes the text in block figures: s.Rows() lines of Width cells each, without a newline at the end.
// A character that has no figure is written small, or left blank if it doesn't fill one cell.
func Render(text string, s Size, ascii bool) string {
	lines := make([]string, s.Rows())
	for i, r := range []rune(text) {
		rows := picture(r)
		_, drawn := font[r]
		for y := range lines {
			lines[y] += strings.Repeat(" ", min(i, 1)*s.across())
			if drawn || y != s.Rows()/2 {
				lines[y] += cells(rows, y, s, ascii)
				continue
			}
			width := len(rows[0]) * s.across()
			before := (width - 1) / 2
			lines[y] += strings.Repeat(" ", before) + small(r, ascii) + strings.Repeat(" ", width-1-before)
		}
	}
	return strings.Join(lines, "\n")
}

func cells(rows []string, y int, s Size, ascii bool) (line string) {
	glyphs := []string{" ", "▄", "▀", "█"} // by which half of the cell has a dot: none, lower, upper, both
	if ascii {
		glyphs = []string{" ", ".", "'", "#"}
	}
	dot := func(x, y int) int {
		if y >= 0 && rows[y][x] == '#' {
			return 1
		}
		return 0
	}
	for x := range len(rows[0]) {
		upper, lower := 2*y-1, 2*y
		if s != Small {
			upper, lower = y*dots/s.Rows(), y*dots/s.Rows()
		}
		line += strings.Repeat(glyphs[2*dot(x, upper)+dot(x, lower)], s.across())
	}
	return line
}

// small is what stands for a character without a picture: itself where it surely fills one cell, as Latin
// letters and the common symbols do, alone or not.
func small(r rune, ascii bool) string {
	known := r < 0x300 || r >= 0x2010 && r < 0x2600
	switch {
	case !known || !unicode.IsPrint(r) || ansi.StringWidth(string(r)) != 1:
		return " "
	case ascii && r >= utf8.RuneSelf:
		return "?"
	}
	return string(r)
}
