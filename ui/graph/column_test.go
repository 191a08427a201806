package graph

// Column returns the cell, counted from the plot's left edge, in which x stands,
// for what the caller writes above or below the picture.
func (p Plot) Column(x float64) (col int, ok bool) {
	if p.Width <= 0 || p.Height <= 0 || !finite(x) {
		return 0, false
	}
	f := p.frame()
	if x < f.xs.Min || x > f.xs.Max {
		return 0, false
	}
	return f.left + f.xs.cell(f.xs.at(x)), true
}
