package graph

import (
	"strings"
	"unicode"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
)

// cell is one character and the number of the pen that painted it.
type cell struct {
	glyph rune
	pen   int
}

// canvas is a grid of cells. What is put outside it is lost, without harm.
type canvas struct {
	width, height int
	cells         []cell
}

func newCanvas(width, height int) *canvas {
	c := &canvas{width, height, make([]cell, width*height)}
	for i := range c.cells {
		c.cells[i].glyph = ' '
	}
	return c
}

func (c *canvas) put(x, y int, glyph rune, pen int) {
	if x >= 0 && x < c.width && y >= 0 && y < c.height {
		c.cells[y*c.width+x] = cell{glyph, pen}
	}
}

// write puts the text's characters from x on, one in each cell.
func (c *canvas) write(x, y int, text []rune, pen int) {
	for i, r := range text {
		c.put(x+i, y, r, pen)
	}
}

// render joins the rows, each run of one pen's cells painted at once.
func (c *canvas) render(pens []pen) string {
	var b strings.Builder
	b.Grow(4 * len(c.cells))
	for y := range c.height {
		if y > 0 {
			b.WriteByte('\n')
		}
		row := c.cells[y*c.width : (y+1)*c.width]
		for i := 0; i < len(row); {
			p := pens[row[i].pen]
			b.WriteString(p.before)
			for first := row[i].pen; i < len(row) && row[i].pen == first; i++ {
				b.WriteRune(row[i].glyph)
			}
			b.WriteString(p.after)
		}
	}
	return b.String()
}

// pen is what a style writes before and after a text. Styling every run of cells
// through lipgloss would cost more than all the rest of the picture.
type pen struct{ before, after string }

// newPen takes a style's colours and attributes, and nothing that would change
// the size of the text.
func newPen(s lipgloss.Style) pen {
	const probe = "x"
	painted := s.Inline(true).UnsetWidth().UnsetMaxWidth().UnsetTransform().Render(probe)
	before, after, ok := strings.Cut(painted, probe)
	if !ok || ansi.Strip(painted) != probe {
		return pen{}
	}
	return pen{before, after}
}

func (p pen) draw(text string) string { return p.before + text + p.after }

// oneCell returns r if it surely fills exactly one cell, else the replacement.
func oneCell(r rune, ascii bool, replacement rune) rune {
	plain := r >= ' ' && r <= '~'
	symbol := r > '~' && r < 0x300 || r >= 0x2010 && r < 0x2600
	switch {
	case plain:
		return r
	case ascii || !symbol || !unicode.IsPrint(r) || ansi.StringWidth(string(r)) != 1:
		return replacement
	}
	return r
}

// label returns the text as cells, each character in one; others become '?'.
func label(text string, ascii bool) []rune {
	out := make([]rune, 0, len(text))
	for _, r := range ansi.Strip(text) {
		out = append(out, oneCell(r, ascii, '?'))
	}
	return out
}
