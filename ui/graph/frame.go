package graph

// frame is a plot's layout: what stands where and to which scale.
type frame struct {
	readings [][]reading
	xs, ys   scale // over the columns and rows left to the curves
	left     int   // columns before the curves: labels and axis
	labels   []mark
	axis     bool // the vertical axis is drawn
	under    bool // the horizontal axis' line is drawn
	names    bool // and the labels under it
}

// mark is a label of the vertical axis and its row.
type mark struct {
	row  int
	text []rune
}

// The least that is left to the curves before something else gives way.
const (
	leastRows = 3
	leastCols = 8
)

func (p Plot) frame() frame {
	var f frame
	x, y := start(p.X), start(p.Y)
	for _, s := range p.Series {
		rs := s.readings()
		f.readings = append(f.readings, rs)
		for _, r := range rs {
			x, y = x.hold(r.x), y.hold(r.y)
		}
	}
	rows := p.Height
	if len(p.XTicks) > 0 {
		f.names = rows > leastRows
		f.under = rows > leastRows+2
	}
	for _, taken := range []bool{f.names, f.under} {
		if taken {
			rows--
		}
	}
	f.ys = scale{Range: y.open(), cells: rows, reverse: !p.YDown}
	cols := p.Width
	if p.YLabel != nil {
		width := p.LabelWidth
		f.labels = p.labels(f.ys)
		for _, m := range f.labels {
			width = max(width, len(m.text))
		}
		switch {
		case cols-width-1 >= leastCols:
			f.axis, f.left = true, width+1
		case cols-1 >= leastCols:
			f.axis, f.left, f.labels = true, 1, nil
		default:
			f.labels = nil
		}
	}
	f.xs = scale{Range: x.open(), cells: cols - f.left}
	return f
}

// start returns what a given range holds before any data.
func start(r Range) Range {
	if r == (Range{}) {
		return nothing()
	}
	return nothing().hold(r.Min).hold(r.Max)
}

// labels returns the vertical axis' labels, one at most in a row.
func (p Plot) labels(ys scale) []mark {
	var out []mark
	taken := make(map[int]bool)
	for _, v := range ys.roundValues(p.YSteps) {
		row := ys.cell(ys.at(v))
		if !taken[row] {
			taken[row] = true
			out = append(out, mark{row, label(p.YLabel(v), p.ASCII)})
		}
	}
	return out
}
