package graph

// axisGlyphs are the characters of the axes.
type axisGlyphs struct{ vertical, right, corner, horizontal, down rune }

func (p Plot) axisGlyphs() axisGlyphs {
	if p.ASCII {
		return axisGlyphs{'|', '+', '+', '-', '+'}
	}
	return axisGlyphs{'│', '┤', '└', '─', '┬'}
}

// drawAxes draws both axes and their labels as far as the frame has room.
func (p Plot) drawAxes(c *canvas, f frame) {
	g := p.axisGlyphs()
	if f.axis {
		for row := range f.ys.cells {
			c.put(f.left-1, row, g.vertical, axisPen)
		}
		for _, m := range f.labels {
			c.write(f.left-1-len(m.text), m.row, m.text, axisPen)
			c.put(f.left-1, m.row, g.right, axisPen)
		}
	}
	if f.under {
		row := f.ys.cells
		if f.axis {
			c.put(f.left-1, row, g.corner, axisPen)
		}
		for col := range f.xs.cells {
			c.put(f.left+col, row, g.horizontal, axisPen)
		}
	}
	if f.names {
		p.drawTicks(c, f, g.down)
	}
}

// drawTicks marks the ticks on the axis and writes their labels under it, each
// centred on its place but never over the edge.
func (p Plot) drawTicks(c *canvas, f frame, down rune) {
	free := make([]bool, p.Width)
	for i := range free {
		free[i] = true
	}
	for _, t := range p.XTicks {
		if !finite(t.At) || t.At < f.xs.Min || t.At > f.xs.Max {
			continue
		}
		col := f.left + f.xs.cell(f.xs.at(t.At))
		if f.under {
			c.put(col, f.ys.cells, down, axisPen)
		}
		text := label(t.Label, p.ASCII)
		at := max(0, min(col-len(text)/2, p.Width-len(text)))
		if len(text) > p.Width || !allFree(free, at-1, at+len(text)) {
			continue
		}
		for i := range text {
			free[at+i] = false
		}
		c.write(at, p.Height-1, text, axisPen)
	}
}

// allFree reports whether all cells from first to last are free; those outside are.
func allFree(free []bool, first, last int) bool {
	for i := max(0, first); i <= min(last, len(free)-1); i++ {
		if !free[i] {
			return false
		}
	}
	return true
}
