package graph

import "unicode/utf8"

// frame is a plot's layout: what stands where and to which scale.
type frame struct {
	readings [][]reading
	xs, ys   scale  // over the columns and rows left to the curves
	left     int    // columns before the curves: labels and axis
	labels   []mark // of the vertical axis
	axis     bool   // the vertical axis is drawn
	under    bool   // the horizontal axis' line is drawn
	names    bool   // and the labels under it
}

// mark is a label of the vertical axis and its row.
type mark struct {
	row  int
	text string
}

// The least that is left to the curves before something else gives way.
const (
	leastRows = 3
	leastCols = 8
)

func (p Plot) frame() frame {
	var f frame
	x, y := p.X.orNothing(), p.Y.orNothing()
	for _, s := range p.Series {
		rs := s.readings()
		f.readings = append(f.readings, rs)
		for _, r := range rs {
			x, y = x.hold(r.x), y.hold(r.y)
		}
	}
	rows := p.Height
	if len(p.XTicks) > 0 && p.Height > leastRows {
		f.names = true
		rows--
	}
	if len(p.XTicks) > 0 && p.Height > leastRows+2 {
		f.under = true
		rows--
	}
	f.ys = scale{Range: y.open(), cells: rows, reverse: !p.YDown}
	if p.YLabel != nil {
		width := p.LabelWidth
		labels := p.labels(f.ys)
		for _, m := range labels {
			width = max(width, utf8.RuneCountInString(m.text))
		}
		switch {
		case p.Width-width-1 >= leastCols:
			f.axis, f.left, f.labels = true, width+1, labels
		case p.Width-1 >= leastCols:
			f.axis, f.left = true, 1
		}
	}
	f.xs = scale{Range: x.open(), cells: p.Width - f.left}
	return f
}

func (p Plot) labels(ys scale) []mark {
	var out []mark
	taken := make(map[int]bool)
	for _, v := range ys.roundValues(p.YSteps) {
		if row := ys.cell(ys.at(v)); !taken[row] {
			taken[row] = true
			out = append(out, mark{row, p.YLabel(v)})
		}
	}
	return out
}

func (p Plot) drawAxes(c *canvas, f frame) {
	glyphs := []rune("│┤└─┬")
	if p.ASCII {
		glyphs = []rune("|++-+")
	}
	vertical, right, corner, horizontal, down := glyphs[0], glyphs[1], glyphs[2], glyphs[3], glyphs[4]
	if f.axis {
		for row := range f.ys.cells {
			c.put(f.left-1, row, vertical, axisPen)
		}
		for _, m := range f.labels {
			c.write(f.left-1-utf8.RuneCountInString(m.text), m.row, m.text, axisPen)
			c.put(f.left-1, m.row, right, axisPen)
		}
	}
	if f.under {
		if f.axis {
			c.put(f.left-1, f.ys.cells, corner, axisPen)
		}
		for col := range f.xs.cells {
			c.put(f.left+col, f.ys.cells, horizontal, axisPen)
		}
	}
	if f.names {
		p.drawTicks(c, f, down)
	}
}

// drawTicks marks the ticks and writes their labels under them, each centred but never over the edge.
func (p Plot) drawTicks(c *canvas, f frame, down rune) {
	for _, t := range p.XTicks {
		if t.At < f.xs.Min || t.At > f.xs.Max {
			continue
		}
		col := f.left + f.xs.cell(f.xs.at(t.At))
		if f.under {
			c.put(col, f.ys.cells, down, axisPen)
		}
		width := utf8.RuneCountInString(t.Label)
		at := max(0, min(col-width/2, p.Width-width))
		if c.blank(at-1, at+width+1, p.Height-1) {
			c.write(at, p.Height-1, t.Label, axisPen)
		}
	}
}
