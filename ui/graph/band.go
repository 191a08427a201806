package graph

import "github.com/charmbracelet/lipgloss"

// Band is the range between Low and High at distances X, in increasing order; NaN leaves a gap. It is shaded
// behind the curves, as far as the plot's ranges reach.
type Band struct {
	X, Low, High []float64
	Style        lipgloss.Style
}

func shade(ascii bool) rune {
	if ascii {
		return ','
	}
	return '░'
}

// Key is a sample of the band for a legend.
func (b Band) Key(ascii bool) string {
	return b.Style.Render(string([]rune{shade(ascii), shade(ascii), shade(ascii)}))
}

func (p Plot) drawBand(c *canvas, f frame, i int) {
	b := p.Bands[i]
	for k := range len(b.X) - 1 {
		low, high := [2]float64{b.Low[k], b.Low[k+1]}, [2]float64{b.High[k], b.High[k+1]}
		if !finite(low[0]) || !finite(low[1]) || !finite(high[0]) || !finite(high[1]) {
			continue
		}
		from, to := f.xs.at(b.X[k]), f.xs.at(b.X[k+1])
		for col := f.xs.cell(from); col <= f.xs.cell(to); col++ {
			at := func(ends [2]float64) int {
				y := between(stop{x: from, y: f.ys.at(ends[0])}, stop{x: to, y: f.ys.at(ends[1])}, float64(col))
				return f.ys.cell(max(-1e6, min(y, 1e6)))
			}
			top, bottom := at(high), at(low)
			for row := min(top, bottom); row <= max(top, bottom); row++ {
				c.put(f.left+col, row, shade(p.ASCII), seriesPen+len(p.Series)+i)
			}
		}
	}
}
