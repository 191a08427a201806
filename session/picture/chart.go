package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// chart is what is drawn, in the figures' own units.
type chart struct {
	x, y   axis
	yDown  bool
	series []series
	bands  []band
	spans  []span
}

// axis is one direction of a chart. Its ticks are given, or chosen where there are none.
type axis struct {
	min, max float64
	label    string
	ticks    []tick
	step     func(float64) string // how a chosen tick is labelled; nil is as a number
}

type tick struct {
	at    float64
	label string
}

// series is a line of points. A NaN is a gap.
type series struct {
	name string // in the legend; "" leaves it out
	x, y []float64
	look look
}

// band is the area between two lines.
type band struct {
	name         string
	x, low, high []float64
}

// span marks a stretch of the horizontal axis with a letter, at the top.
type span struct {
	from, to float64
	letter   string
}

// look is how a line is told from others without colour.
type look struct {
	class string // for a page's colours
	width float64
	dash  string
	mark  mark
	bare  bool // only the marks, no line
}

type mark int

const (
	noMark mark = iota
	disc
	ring
	square
	diamond
	cross
)

// looks are the ways to draw lines beside each other, the most prominent first.
var looks = []look{
	{class: "s0", width: 2.4, mark: disc},
	{class: "s1", width: 1.6, dash: "7 4", mark: square},
	{class: "s2", width: 1.6, dash: "1.5 4", mark: diamond},
	{class: "s3", width: 1.4, dash: "9 4 2 4", mark: ring},
	{class: "s4", width: 1.2, dash: "14 4", mark: cross},
	{class: "s5", width: 1, dash: "3 2"},
}

// The chart's measures, in the units of its viewBox. It is as wide as a phone's page, where its letters are read
// at about their own size.
const (
	chartWidth  = 440
	plotHeight  = 224
	leftMargin  = 42
	rightMargin = 12
	topMargin   = 36
	tickRoom    = 18
	labelRoom   = 16
	legendLine  = 18
	letterWidth = 6.6 // of most letters at this size; a legend that guesses wide only wraps early
)

// layout is where a chart's figures come to lie.
type layout struct {
	chart
	d drawing
}

func (c chart) draw() drawing {
	l := layout{chart: c, d: drawing{Width: chartWidth}}
	l.axes()
	for _, b := range c.bands {
		l.band(b)
	}
	for _, s := range c.series {
		l.line(s)
	}
	l.spansOver()
	l.d.Height = int(math.Ceil(l.legend(topMargin + plotHeight + tickRoom + labelRoom)))
	return l.d
}

func (l *layout) px(x float64) float64 {
	return leftMargin + (chartWidth-leftMargin-rightMargin)*(x-l.x.min)/(l.x.max-l.x.min)
}

func (l *layout) py(y float64) float64 {
	share := (y - l.y.min) / (l.y.max - l.y.min)
	if !l.yDown {
		share = 1 - share
	}
	return topMargin + plotHeight*share
}

// n is a number as an attribute: to a tenth of a unit, which no eye tells from more.
func n(v float64) string {
	return strconv.FormatFloat(math.Round(v*10)/10+0, 'f', -1, 64)
}

func (l *layout) axes() {
	left, right, top, bottom := float64(leftMargin), float64(chartWidth-rightMargin), float64(topMargin), float64(topMargin+plotHeight)
	foot := bottom
	for _, t := range l.y.marks() {
		y := l.py(t.at)
		l.d.Paths = append(l.d.Paths, path{Class: "grid", D: "M" + n(left) + " " + n(y) + "H" + n(right), Width: "0.6", Faint: true})
		l.d.Texts = append(l.d.Texts, text{X: n(left - 5), Y: n(y + 4), Anchor: "end", Text: t.label})
	}
	end := math.Inf(-1) // of the label before
	for _, t := range l.x.marks() {
		x, half := l.px(t.at), letterWidth*float64(utf8.RuneCountInString(t.label))/2
		l.d.Paths = append(l.d.Paths, path{Class: "axis", D: "M" + n(x) + " " + n(foot) + "v4", Width: "0.8"})
		if x-half > end+2 {
			l.d.Texts = append(l.d.Texts, text{X: n(x), Y: n(foot + 15), Anchor: "middle", Text: t.label})
			end = x + half
		}
	}
	l.d.Paths = append(l.d.Paths, path{Class: "axis", D: fmt.Sprintf("M%s %sV%sH%s", n(left), n(top), n(bottom), n(right)), Width: "0.8"})
	l.d.Texts = append(l.d.Texts,
		text{X: "2", Y: "13", Class: "label", Text: l.y.label},
		text{X: n(right), Y: n(foot + tickRoom + 12), Anchor: "end", Class: "label", Text: l.x.label})
}

// marks are an axis's ticks: its own, or four to eight at round figures.
func (a axis) marks() []tick {
	if a.ticks != nil {
		return a.ticks
	}
	step := roundStep((a.max - a.min) / 6)
	var ticks []tick
	for i := math.Ceil(a.min/step - 1e-9); i*step <= a.max+1e-9*step && len(ticks) < 50; i++ {
		v := i * step
		label := strconv.FormatFloat(math.Round(v*1e6)/1e6+0, 'f', -1, 64)
		if a.step != nil {
			label = a.step(v)
		}
		ticks = append(ticks, tick{v, label})
	}
	return ticks
}

// roundStep is 1, 2 or 5 times a power of ten, at least v.
func roundStep(v float64) float64 {
	if !(v > 0) || math.IsInf(v, 0) {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, times := range []float64{1, 2, 5} {
		if times*power >= v*(1-1e-9) {
			return times * power
		}
	}
	return 10 * power
}

func (l *layout) band(b band) {
	var d strings.Builder
	var back []string
	flush := func() {
		for i := len(back) - 1; i >= 0; i-- {
			d.WriteString("L" + back[i])
		}
		if len(back) > 0 {
			d.WriteString("Z")
		}
		back = nil
	}
	edges := []series{{x: b.x, y: b.low, look: look{class: "edge", width: 0.8, dash: "1 3"}}, {x: b.x, y: b.high, look: look{class: "edge", width: 0.8, dash: "1 3"}}}
	for i, x := range b.x {
		if !drawable(x, b.low[i]) || !drawable(x, b.high[i]) {
			flush()
			continue
		}
		d.WriteString(map[bool]string{true: "M", false: "L"}[len(back) == 0] + n(l.px(x)) + " " + n(l.py(b.high[i])))
		back = append(back, n(l.px(x))+" "+n(l.py(b.low[i])))
	}
	flush()
	l.d.Areas = append(l.d.Areas, area{Class: "band", D: d.String(), Opacity: "0.13"})
	for _, edge := range edges {
		l.line(edge)
	}
}

func drawable(x, y float64) bool {
	return !math.IsNaN(x) && !math.IsNaN(y) && !math.IsInf(x, 0) && !math.IsInf(y, 0)
}

func (l *layout) line(s series) {
	var d, marks strings.Builder
	pen := false
	for i, x := range s.x {
		if !drawable(x, s.y[i]) {
			pen = false
			continue
		}
		px, py := l.px(x), l.py(s.y[i])
		if pen {
			d.WriteString("L")
		} else {
			d.WriteString("M")
		}
		d.WriteString(n(px) + " " + n(py))
		pen = true
		marks.WriteString(s.look.mark.at(px, py))
	}
	if d.Len() > 0 && !s.look.bare {
		l.d.Paths = append(l.d.Paths, path{Class: s.look.class, D: d.String(), Width: n(s.look.width), Dash: s.look.dash})
	}
	if marks.Len() > 0 {
		l.d.Paths = append(l.d.Paths, path{Class: s.look.class, D: marks.String(), Width: "1.2", Solid: s.look.mark != ring && s.look.mark != cross})
	}
}

// at is the mark as a path about a point.
func (m mark) at(x, y float64) string {
	at := "M" + n(x) + " " + n(y)
	switch m {
	case disc, ring:
		return at + "m-3 0a3 3 0 1 0 6 0a3 3 0 1 0-6 0z"
	case square:
		return at + "m-2.5-2.5h5v5h-5z"
	case diamond:
		return at + "m0-3.4l3.4 3.4l-3.4 3.4l-3.4-3.4z"
	case cross:
		return at + "m-3-3l6 6m0-6l-6 6"
	}
	return ""
}

// spansOver marks the spans with a bracket over the plot and their letters.
func (l *layout) spansOver() {
	for _, s := range l.spans {
		from, to := min(l.px(s.from), l.px(s.to)), max(l.px(s.from), l.px(s.to))
		l.d.Paths = append(l.d.Paths,
			path{Class: "finding", D: fmt.Sprintf("M%s %dv-6H%sv6", n(from), topMargin+4, n(to)), Width: "1.6"},
			path{Class: "finding", D: fmt.Sprintf("M%s %dV%dM%s %dV%d", n(from), topMargin+6, topMargin+plotHeight, n(to), topMargin+6, topMargin+plotHeight), Width: "0.8", Dash: "2 5"})
		l.d.Texts = append(l.d.Texts, text{X: n((from + to) / 2), Y: fmt.Sprint(topMargin - 6), Anchor: "middle", Class: "finding", Text: s.letter})
	}
}

// legend names the lines, from y downwards, and returns where it ends.
func (l *layout) legend(y float64) float64 {
	x := float64(leftMargin)
	place := func(name string, draw func(x, y float64)) {
		if name == "" {
			return
		}
		wide := 36 + letterWidth*float64(utf8.RuneCountInString(name)) + 14
		if x > leftMargin && x+wide > chartWidth {
			x, y = leftMargin, y+legendLine
		}
		draw(x, y+legendLine-6)
		l.d.Texts = append(l.d.Texts, text{X: n(x + 36), Y: n(y + legendLine - 2), Text: name})
		x += wide
	}
	for _, s := range l.series {
		place(s.name, func(x, y float64) {
			if !s.look.bare {
				l.d.Paths = append(l.d.Paths, path{Class: s.look.class, D: "M" + n(x) + " " + n(y) + "h30", Width: n(s.look.width), Dash: s.look.dash})
			}
			if marks := s.look.mark.at(x+15, y); marks != "" {
				l.d.Paths = append(l.d.Paths, path{Class: s.look.class, D: marks, Width: "1.2", Solid: s.look.mark != ring && s.look.mark != cross})
			}
		})
	}
	for _, b := range l.bands {
		place(b.name, func(x, y float64) {
			l.d.Areas = append(l.d.Areas, area{Class: "band", D: fmt.Sprintf("M%s %sh30v8h-30z", n(x), n(y-4)), Opacity: "0.13"})
			l.d.Paths = append(l.d.Paths, path{Class: "edge", D: fmt.Sprintf("M%s %sh30M%s %sh30", n(x), n(y-4), n(x), n(y+4)), Width: "0.8", Dash: "1 3"})
		})
	}
	return y + legendLine + 6
}

// around is a range that holds all of the values and a little more, and starts at zero where from is set.
func around(fromZero bool, values ...float64) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if drawable(v, v) {
			least, most = min(least, v), max(most, v)
		}
	}
	if fromZero {
		least, most = min(least, 0), max(most, 0)
	}
	if !(least < most) {
		if math.IsInf(least, 0) {
			return 0, 1
		}
		return least - 1, most + 1
	}
	more := 0.06 * (most - least)
	if least != 0 || !fromZero {
		least -= more
	}
	return least, most + more
}
