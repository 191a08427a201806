package digits

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"
)

// dots is how many rows of dots a glyph has. In Large each is a row of cells; in
// Huge it is two rows, and in Small two share one, the first of them with nothing above it.
const dots = 5

// glyph is the picture of one character: rows of equal length, '#' for a dot. A
// character without a picture has rows of blanks and stands small among them.
type glyph struct {
	rows  [dots]string
	small rune
}

func (g glyph) width() int { return len(g.rows[0]) }

// on reports whether there is a dot in row y, which may lie outside, column x.
func (g glyph) on(x, y int) bool {
	return y >= 0 && y < dots && g.rows[y][x] == '#'
}

// write adds one row of cells of the glyph.
func (g glyph) write(b *strings.Builder, row int, s Size, ascii bool) {
	if g.small != 0 && row == s.Rows()/2 {
		cells := g.width() * s.across()
		left := (cells - 1) / 2
		b.WriteString(strings.Repeat(" ", left))
		b.WriteRune(g.smallRune(ascii))
		b.WriteString(strings.Repeat(" ", cells-1-left))
		return
	}
	for x := range g.width() {
		if s == Small {
			b.WriteString(half(g.on(x, 2*row-1), g.on(x, 2*row), ascii))
		} else {
			b.WriteString(strings.Repeat(full(g.on(x, row*dots/s.Rows()), ascii), s.across()))
		}
	}
}

// smallRune is what stands for a character without a picture.
func (g glyph) smallRune(ascii bool) rune {
	if ascii && g.small >= utf8.RuneSelf {
		return '?'
	}
	return g.small
}

// full returns a cell of a dot that is a row high or more.
func full(on, ascii bool) string {
	switch {
	case !on:
		return " "
	case ascii:
		return "#"
	}
	return "█"
}

// half returns two dots of the small size, one over the other in one cell.
func half(upper, lower, ascii bool) string {
	cells := [4]string{" ", "▄", "▀", "█"}
	if ascii {
		cells = [4]string{" ", ".", "'", "#"}
	}
	i := 0
	if lower {
		i |= 1
	}
	if upper {
		i |= 2
	}
	return cells[i]
}

// glyphOf returns the picture of a character, or a blank one around it.
func glyphOf(r rune) glyph {
	if rows, ok := picture(r); ok {
		return glyph{rows: rows}
	}
	blank := "   "
	g := glyph{rows: [dots]string{blank, blank, blank, blank, blank}}
	if oneCell(r) {
		g.small = r
	}
	return g
}

// oneCell reports whether a character surely fills one cell, alone or not:
// Latin and the common symbols, no marks that join with what stands before.
func oneCell(r rune) bool {
	known := r < 0x300 || r >= 0x2010 && r < 0x2600
	return known && unicode.IsPrint(r) && ansi.StringWidth(string(r)) == 1
}
