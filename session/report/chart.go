package report

import (
	"math"
	"slices"
	"strconv"

	"bendbook/model"
	"bendbook/model/measure"
)

// chart is what is drawn, in the figures' own units.
type chart struct {
	x, y   axis
	yDown  bool
	equal  bool // both axes to one scale
	low    bool // half as high as others
	series []series
	spans  []span
}

type axis struct {
	min, max float64
	label    string
	ticks    []tick  // nil puts them at round figures
	fine     float64 // how far apart small ticks are; 0 for none
}

type tick struct {
	at    float64
	label string
}

// series is a line of points, perhaps with a 90 % band around it. A NaN makes a gap.
type series struct {
	name      string // in the legend; "" leaves it out
	x, y      []float64
	low, high []float64 // empty, or as long as x
	look      look
	shade     bool // the area under it is shaded
}

// span marks a stretch of the horizontal axis with a letter, at the top.
type span struct {
	from, to float64
	letter   string
}

// look tells a line from others, even without colour.
type look struct {
	class string // for a page's colours
	width float64
	dash  string
	mark  mark
	bare  bool // only the marks, no line
}

// mark is drawn around each point of a line; its path starts at the point.
type mark struct {
	path   string
	hollow bool
}

var (
	disc = mark{path: "m-3 0a3 3 0 1 0 6 0a3 3 0 1 0-6 0z"}
	ring = mark{path: disc.path, hollow: true}
)

// Looks that several pictures have.
var (
	solidLine  = look{class: "s0", width: 2.4}
	dashedLine = look{class: "s1", width: 1.8, dash: "7 4"}
	dottedLine = look{class: "s2", width: 1.6, dash: "1.5 4"}
)

func (l look) marked(m mark) look {
	l.mark = m
	return l
}

func (s *series) add(x, y float64) { s.x, s.y = append(s.x, x), append(s.y, y) }

func (s *series) addRange(x, y, low, high float64) {
	s.add(x, y)
	s.low, s.high = append(s.low, low), append(s.high, high)
}

// level adds a line right across at one height.
func (c *chart) level(name string, y float64, look look) {
	across := []float64{c.x.min, c.x.max}
	c.series = append(c.series, series{name: name, x: across, y: []float64{y, y}, look: look})
}

// fitY makes the vertical axis hold all series, and zero where asked.
func (c *chart) fitY(zero bool) {
	var all []float64
	for _, s := range c.series {
		all = slices.Concat(all, s.y, s.low, s.high)
	}
	c.y.min, c.y.max = around(zero, all)
}

// around returns a range that holds all values with a margin. With zero it holds 0, without a margin there.
func around(zero bool, values []float64) (least, most float64) {
	values = slices.DeleteFunc(slices.Clone(values), func(v float64) bool { return !drawable(v) })
	if zero {
		values = append(values, 0)
	}
	if len(values) == 0 {
		return 0, 1
	}
	least, most = slices.Min(values), slices.Max(values)
	if least == most {
		return least - 1, most + 1
	}
	more := 0.06 * (most - least)
	if least != 0 || !zero {
		least -= more
	}
	return least, most + more
}

func drawable(values ...float64) bool {
	return !slices.ContainsFunc(values, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}

// marks returns the axis's own ticks, or four to eight at round figures.
func (a axis) marks() []tick {
	if a.ticks != nil {
		return a.ticks
	}
	step := roundStep((a.max - a.min) / 6)
	var ticks []tick
	// The limit ends the loop where rounding keeps i from growing: huge figures in a narrow range.
	for i := math.Ceil(a.min/step - 1e-9); i*step <= a.max+1e-9*step && len(ticks) < 50; i++ {
		ticks = append(ticks, tick{i * step, strconv.FormatFloat(math.Round(i*step*1e6)/1e6+0, 'f', -1, 64)})
	}
	return ticks
}

// roundStep is 1, 2 or 5 times a power of ten, at least v.
func roundStep(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, times := range []float64{1, 2, 5} {
		if times*power >= v*(1-1e-9) {
			return times * power
		}
	}
	return 10 * power
}

// along turns a distance from a limb's root into a place on the horizontal axis, the lower limb to the left.
func along(bow model.Bow, side model.Side, from measure.Length) float64 {
	x := (bow.Handle/2 + from).In(bow.Units.Length)
	if side == model.Lower {
		return -x
	}
	return x
}

// alongAxis reaches from nock to nock and names the stations, from the left to the right.
func alongAxis(bow model.Bow) axis {
	lower, upper := bow.Limbs[model.Lower], bow.Limbs[model.Upper]
	ax := axis{
		min: along(bow, model.Lower, lower.Length), max: along(bow, model.Upper, upper.Length), ticks: []tick{},
		label: "lower limb, out from the handle (" + string(bow.Units.Length) + "), upper limb",
	}
	for _, at := range slices.Backward(lower.Stations) {
		ax.ticks = append(ax.ticks, tick{along(bow, model.Lower, at), bow.Ruler().Short(at)})
	}
	for _, at := range upper.Stations {
		ax.ticks = append(ax.ticks, tick{along(bow, model.Upper, at), bow.Ruler().Short(at)})
	}
	return ax
}
