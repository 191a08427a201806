package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Sizes in units of the viewBox, which is as wide as a phone, so that letters keep about their size.
const (
	chartWidth  = 356
	plotHeight  = 160
	leftMargin  = 34
	rightMargin = 8
	topMargin   = 36
	tickRoom    = 18
	labelRoom   = 16
	legendLine  = 18
	letterWidth = 6.6 // a guess for most letters; too wide a guess only wraps the legend early

	plotLeft, plotRight = float64(leftMargin), float64(chartWidth - rightMargin)
	plotTop             = float64(topMargin)
)

// drawing is a chart laid out for the template, which draws it from back to front.
type drawing struct {
	picture
	Width, Height int
	Areas         []area
	Paths         []path
	Texts         []text
}

type area struct{ Class, D string }

type path struct {
	Class, D, Width, Dash string
	Solid, Faint          bool // filled; a line of the grid
}

type text struct{ X, Y, Anchor, Class, Text string }

// Drawing lays the picture out.
func (p picture) Drawing() drawing {
	d := drawing{picture: p, Width: chartWidth}
	d.axes()
	for _, s := range p.chart.series {
		if s.shade {
			d.area("shade", s.x, make([]float64, len(s.x)), s.y)
		}
		if s.low != nil {
			d.area("band", s.x, s.low, s.high)
		}
	}
	for _, s := range p.chart.series {
		d.line(s)
	}
	for _, s := range p.chart.spans {
		d.span(s)
	}
	d.Height = int(math.Ceil(d.legend(d.bottom() + tickRoom + labelRoom)))
	return d
}

// Tall is the height of the plot alone, with the room that a line's width takes.
func (d drawing) Tall() int { return int(math.Ceil(d.bottom()-plotTop)) + 8 }

func (d *drawing) px(x float64) float64 {
	return plotLeft + (plotRight-plotLeft)*(x-d.chart.x.min)/(d.chart.x.max-d.chart.x.min)
}

// py is the height of a value; one beyond the axis lies on its edge.
func (d *drawing) py(y float64) float64 {
	share := (y - d.chart.y.min) / (d.chart.y.max - d.chart.y.min)
	if !d.chart.yDown {
		share = 1 - share
	}
	return plotTop + (d.bottom()-plotTop)*max(0, min(1, share))
}

// bottom is where the plot ends: its height is the usual one, or follows from equal scales.
func (d *drawing) bottom() float64 {
	c := d.chart
	switch {
	case c.low:
		return plotTop + plotHeight/2
	case !c.equal:
		return plotTop + plotHeight
	}
	return plotTop + (plotRight-plotLeft)*(c.y.max-c.y.min)/(c.x.max-c.x.min)
}

// n formats a number for an attribute, to a tenth of a unit: no eye sees finer.
func n(v float64) string {
	return strconv.FormatFloat(math.Round(v*10)/10+0, 'f', -1, 64)
}

func xy(x, y float64) string { return n(x) + " " + n(y) }

func (d *drawing) axes() {
	for _, t := range d.chart.y.marks() {
		y := d.py(t.at)
		line := "M" + xy(plotLeft, y) + "H" + n(plotRight)
		d.Paths = append(d.Paths, path{Class: "grid", D: line, Width: "0.6", Faint: true})
		d.Texts = append(d.Texts, text{X: n(plotLeft - 5), Y: n(y + 4), Anchor: "end", Text: t.label})
	}
	for x := d.chart.x.fine; x > 0 && x <= d.chart.x.max && d.chart.x.max < 200; x += d.chart.x.fine {
		d.Paths = append(d.Paths, path{Class: "axis", D: "M" + xy(d.px(x), d.bottom()) + "v2", Width: "0.6"})
	}
	end := math.Inf(-1) // of the label before
	for _, t := range d.chart.x.marks() {
		x, half := d.px(t.at), letterWidth*float64(utf8.RuneCountInString(t.label))/2
		d.Paths = append(d.Paths, path{Class: "axis", D: "M" + xy(x, d.bottom()) + "v4", Width: "0.8"})
		if x-half > end+5 {
			d.Texts = append(d.Texts, text{X: n(x), Y: n(d.bottom() + 15), Anchor: "middle", Text: t.label})
			end = x + half
		}
	}
	frame := "M" + xy(plotLeft, plotTop) + "V" + n(d.bottom()) + "H" + n(plotRight)
	if !d.chart.equal {
		d.Paths = append(d.Paths, path{Class: "axis", D: frame, Width: "0.8"})
	}
	foot := n(d.bottom() + tickRoom + 12)
	d.Texts = append(d.Texts,
		text{X: "2", Y: "13", Class: "label", Text: d.chart.y.label},
		text{X: n(plotRight), Y: foot, Anchor: "end", Class: "label", Text: d.chart.x.label})
}

// area fills what lies between two lines: along the upper, and back along the lower.
func (d *drawing) area(class string, x, low, high []float64) {
	var over, back []string
	for i, x := range x {
		if drawable(x, low[i], high[i]) {
			over, back = append(over, xy(d.px(x), d.py(high[i]))), append(back, xy(d.px(x), d.py(low[i])))
		}
	}
	if len(over) > 0 {
		slices.Reverse(back)
		d.Areas = append(d.Areas, area{class, "M" + strings.Join(append(over, back...), "L") + "Z"})
	}
}

func (d *drawing) line(s series) {
	var line, marks strings.Builder
	pen := "M" // move to the start of a run, then draw lines (L)
	for i, x := range s.x {
		if !drawable(x, s.y[i]) {
			pen = "M"
			continue
		}
		at := xy(d.px(x), d.py(s.y[i]))
		line.WriteString(pen + at)
		pen = "L"
		marks.WriteString("M" + at + s.look.mark.path)
	}
	d.stroke(s.look, line.String(), marks.String())
}

func (d *drawing) stroke(l look, line, marks string) {
	if line == "" {
		return
	}
	if !l.bare {
		d.Paths = append(d.Paths, path{Class: l.class, D: line, Width: n(l.width), Dash: l.dash})
	}
	if l.mark.path != "" {
		d.Paths = append(d.Paths, path{Class: l.class, D: marks, Width: "1.2", Solid: !l.mark.hollow})
	}
}

// span draws a bracket over the plot, with its letter.
func (d *drawing) span(s span) {
	from, to := min(d.px(s.from), d.px(s.to)), max(d.px(s.from), d.px(s.to))
	bracket := fmt.Sprintf("M%s %dv-6H%sv6", n(from), topMargin+4, n(to))
	foot := n(d.bottom())
	sides := fmt.Sprintf("M%s %dV%sM%s %dV%s", n(from), topMargin+6, foot, n(to), topMargin+6, foot)
	d.Paths = append(d.Paths,
		path{Class: "finding", D: bracket, Width: "1.6"},
		path{Class: "finding", D: sides, Width: "0.8", Dash: "2 5"})
	d.Texts = append(d.Texts,
		text{X: n((from + to) / 2), Y: n(plotTop - 6), Anchor: "middle", Class: "finding", Text: s.letter})
}

// legend names the lines, from y downwards, and returns where it ends.
func (d *drawing) legend(y float64) float64 {
	x := plotLeft
	place := func(name string, draw func(x, y float64)) {
		wide := 36 + letterWidth*float64(utf8.RuneCountInString(name)) + 14
		if x > plotLeft && x+wide > chartWidth {
			x, y = plotLeft, y+legendLine
		}
		draw(x, y+legendLine-6)
		d.Texts = append(d.Texts, text{X: n(x + 36), Y: n(y + legendLine - 2), Text: name})
		x += wide
	}
	named := slices.DeleteFunc(slices.Clone(d.chart.series), func(s series) bool { return s.name == "" })
	for _, s := range named {
		place(s.name, func(x, y float64) { d.stroke(s.look, "M"+xy(x, y)+"h30", "M"+xy(x+15, y)+s.look.mark.path) })
	}
	if slices.ContainsFunc(named, func(s series) bool { return s.low != nil }) {
		place("likely", func(x, y float64) {
			d.Areas = append(d.Areas, area{"band", "M" + xy(x, y-4) + "h30v8h-30z"})
		})
	}
	return y + legendLine + 6
}
