package graph

import (
	"strings"

	"github.com/charmbracelet/lipgloss"
)

// cell is one character and the number of the style that paints it.
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
func (c *canvas) write(x, y int, text string, pen int) {
	for i, r := range []rune(text) {
		c.put(x+i, y, r, pen)
	}
}

// blank says whether the cells from x up to before end are blank; those outside are.
func (c *canvas) blank(x, end, y int) bool {
	for x = max(0, x); x < min(end, c.width); x++ {
		if c.cells[y*c.width+x].glyph != ' ' {
			return false
		}
	}
	return true
}

// render joins the rows, each run of one style's cells painted at once. What a style writes before and after
// a text is looked up once: to style each run would cost more than all the rest of the picture.
func (c *canvas) render(styles []lipgloss.Style) string {
	before, after := make([]string, len(styles)), make([]string, len(styles))
	for i, style := range styles {
		before[i], after[i], _ = strings.Cut(style.Render("x"), "x")
	}
	var b strings.Builder
	for i, at := range c.cells {
		first := i%c.width == 0
		if first && i > 0 {
			b.WriteByte('\n')
		}
		if first || c.cells[i-1].pen != at.pen {
			b.WriteString(before[at.pen])
		}
		b.WriteRune(at.glyph)
		if (i+1)%c.width == 0 || c.cells[i+1].pen != at.pen {
			b.WriteString(after[at.pen])
		}
	}
	return b.String()
}
