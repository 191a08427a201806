package ui

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session/verdict"
	"bendbook/ui/graph"
	"bendbook/ui/look"
)

// evenness is the picture of how far both limbs bend off the aim, pass over pass.
type evenness struct {
	advice verdict.Advice
	passes []int // the newest first, three at the most; the last is drawn as the first of all where it is pass 0
}

// leastPicture is the height of a picture of the bend from which on strips stand under it.
const leastPicture = 9

// evennessOf shows a pass over the one before it and pass 0.
func evennessOf(a verdict.Advice, pass int) evenness {
	return evenness{a, slices.Compact([]int{pass, max(0, pass-1), 0})}
}

// pen is how the pass at an index is drawn: the newest bold, pass 0 dotted.
func (e evenness) pen(s look.Styles, i int) graph.Pen {
	if i == 0 {
		return s.Bold()
	}
	return s.Thin(e.passes[i] == 0)
}

func (e evenness) lines(s look.Styles, width, height int) []string {
	return append([]string{e.caption(s, width)}, strings.Split(e.plot(s, width, height-1).Render(), "\n")...)
}

func (e evenness) caption(s look.Styles, width int) string {
	legend := "% off the aim:"
	for i, pass := range e.passes {
		legend += fmt.Sprintf(" %s pass %d ", ansi.Truncate(e.pen(s, i).Key(), 1, ""), pass)
	}
	legend += " " + s.Quiet.Render(string(graph.Shade)) + " likely"
	const lower, upper = " lower limb ", " upper limb "
	room := width - len(lower) - len(upper)
	if ansi.StringWidth(legend) > room {
		return ansi.Truncate(legend, width, "~")
	}
	before := (room - ansi.StringWidth(legend)) / 2
	return s.Quiet.Render(lower) + strings.Repeat(" ", before) + left(legend, room-before) +
		s.Quiet.Render(upper)
}

// axes is the picture without its curves, to the one scale of all pictures of the bow.
func (e evenness) axes(s look.Styles, width, height int) graph.Plot {
	p := curves{story: e.advice.Story()}.axes(s, width, height)
	scale := e.advice.Scale()
	p.Y, p.YSteps = graph.Range{Min: -scale, Max: scale}, []float64{0.1, 0.2, 0.3, 0.5, 1, 2}
	p.YLabel = sayOffAim
	ends := []float64{p.X.Min, p.X.Max}
	aim := graph.Pen{Stroke: graph.Dashed, Style: s.Quiet}
	p.Series = append(p.Series, graph.Series{X: ends, Y: []float64{0, 0}, Pen: aim})
	return p
}

func (e evenness) plot(s look.Styles, width, height int) graph.Plot {
	c, p := curves{story: e.advice.Story()}, e.axes(s, width, height)
	for i, pass := range slices.Backward(e.passes) {
		for _, side := range model.Sides {
			course := e.advice.Strips[pass].Limbs[side]
			p.Series = append(p.Series, line(c, e.pen(s, i), side, course.At,
				told(course.Deviation, course.Known, likely)))
		}
	}
	for _, side := range model.Sides {
		p.Bands = append(p.Bands, e.band(s, c, side))
	}
	p.Series = append(p.Series, e.marks(s, c)...)
	p.Series = append(p.Series, c.handle(s, 0))
	return p
}

// change is how far both limbs bend off the aim, now and after a change, on the scale of the bow's other
// pictures.
func (e evenness) change(
	s look.Styles, width, height int, after string, bends ...[2]estimate.Bending,
) []string {
	c, p := curves{story: e.advice.Story()}, e.axes(s, width, height-1)
	for i, limbs := range bends {
		for _, side := range model.Sides {
			limb := limbs[side]
			p.Series = append(p.Series, line(c, []graph.Pen{s.Thin(false), s.Bold()}[i], side, limb.At,
				told(limb.Deviation, limb.Compared, likely)))
		}
	}
	p.Series = append(p.Series, c.handle(s, 0))
	caption := s.Thin(false).Key() + " now  " + s.Bold().Key() + " " + after
	if whole := "% off the aim: " + caption; ansi.StringWidth(whole) <= width {
		caption = whole
	}
	return append([]string{ansi.Truncate(caption, width, "~")}, strings.Split(p.Render(), "\n")...)
}

func sayOffAim(off float64) string {
	switch percent := math.Round(100 * off); {
	case percent > 0:
		return fmt.Sprintf("weak +%.0f", percent)
	case percent < 0:
		return fmt.Sprintf("stiff −%.0f", -percent)
	}
	return "wanted 0"
}

// told has a part of each figure, such as its lower end, and NaN where the readings can't tell it.
func told(figures []estimate.Figure, known []bool, of func(estimate.Figure) float64) (all []float64) {
	for i, f := range figures {
		all = append(all, of(f))
		if !known[i] {
			all[i] = math.NaN()
		}
	}
	return all
}

func likely(f estimate.Figure) float64 { return f.Estimate }

func (e evenness) band(s look.Styles, c curves, side model.Side) graph.Band {
	course := e.advice.Strips[e.passes[0]].Limbs[side]
	end := func(of func(estimate.Figure) float64) graph.Series {
		return line(c, graph.Pen{}, side, course.At, told(course.Deviation, course.Known, of))
	}
	return graph.Band{Style: s.Quiet, Low: end(func(f estimate.Figure) float64 { return f.Low }),
		High: end(func(f estimate.Figure) float64 { return f.High })}
}

// marks stand on the line of the aim where the newest pass is stiff or weak for certain.
func (e evenness) marks(s look.Styles, c curves) (all []graph.Series) {
	if e.passes[0] != e.advice.Pass {
		return nil
	}
	for _, f := range e.advice.Findings {
		one := graph.Series{Pen: graph.Pen{Point: '▼', Style: s.Cold}}
		if f.Hinge {
			one.Point, one.Style = '▲', s.Warm
		}
		step := verdict.StripStep(e.advice.Bow)
		for at := f.From; at <= f.To; at += step {
			x := c.place(f.Side, measure.Length(at))
			// A missing reading between two keeps them from being joined.
			one.X, one.Y = append(one.X, x, x+1e-3), append(one.Y, 0, math.NaN())
		}
		all = append(all, one)
	}
	return all
}

func cellStyle(s look.Styles, c verdict.Cell) lipgloss.Style {
	switch c {
	case verdict.Stiff:
		return s.Cold.Bold(true)
	case verdict.SlightlyStiff:
		return s.Cold
	case verdict.SlightlyWeak:
		return s.Warm
	case verdict.Weak:
		return s.Warm.Bold(true)
	}
	return s.Quiet
}

// stripCells are both limbs of a strip with the handle between, as wide for each pass of a bow.
func stripCells(s look.Styles, strip verdict.Strip) string {
	var b strings.Builder
	for _, side := range []model.Side{model.Lower, model.Upper} {
		cells := slices.Clone(strip.Limbs[side].Cells)
		if side == model.Lower {
			slices.Reverse(cells)
		}
		for len(cells) > 0 {
			n := 1
			for n < len(cells) && cells[n] == cells[0] {
				n++
			}
			b.WriteString(cellStyle(s, cells[0]).Render(strings.Repeat(string(cells[0].Glyph(s.ASCII)), n)))
			cells = cells[n:]
		}
		if side == model.Lower {
			b.WriteString(s.Quiet.Render(map[bool]string{false: "━", true: "="}[s.ASCII]))
		}
	}
	return b.String()
}

// stripLegend says what the glyphs of strips stand for, in fewer words where there is less room.
func stripLegend(s look.Styles, width int) string {
	sign := func(c verdict.Cell) string { return cellStyle(s, c).Render(string(c.Glyph(s.ASCII))) }
	var parts []string
	for c := verdict.Stiff; c <= verdict.Weak; c++ {
		parts = append(parts, sign(c)+" "+c.String())
	}
	if whole := strings.Join(append(parts, "blank can't tell"), "  "); ansi.StringWidth(whole) <= width {
		return whole
	}
	return fmt.Sprintf("%s%s stiff  %s even  %s%s weak  blank can't tell", sign(verdict.Stiff),
		sign(verdict.SlightlyStiff), sign(verdict.Even), sign(verdict.SlightlyWeak), sign(verdict.Weak))
}

// The columns that may stand beside the weight.
const (
	tillerColumn  = "tiller"
	unevenColumn  = "uneven" // lower limb, upper limb
	cameOffColumn = "what came off"
	rangedColumn  = 16 // how wide a weight is with its range
)

// stripColumns are those that there is room for: the weight with its range, and the wanted ones of the rest.
func stripColumns(a verdict.Advice, room int, wanted ...string) (all []column[verdict.Strip]) {
	bow := a.Bow
	scale, rule := bow.Weigher(), bow.Ruler()
	weight := fmt.Sprintf("%s at %s", bow.Units.Force.Symbol(), rule.Short(measure.Length(a.Draw)))
	add := func(head string, width int, cell func(verdict.Strip) string) bool {
		width = max(width, ansi.StringWidth(head))
		if room < width+1 || head != weight && !slices.Contains(wanted, head) {
			return false
		}
		all, room = append(all, column[verdict.Strip]{head, width, cell}), room-width-1
		return true
	}
	room-- // two blanks before the first
	orDash := func(known measure.Optional[estimate.Figure], say func(estimate.Figure) string) string {
		if f, ok := known.Get(); ok {
			return say(f)
		}
		return "-"
	}
	force := func(f float64) string { return scale.Print(measure.Force(f)) }
	plain := func(f estimate.Figure) string { return force(f.Estimate) }
	ranged := func(f estimate.Figure) string { return verdict.SayRange(f, force, "") }
	if !add(weight, rangedColumn, func(s verdict.Strip) string { return orDash(s.Weight, ranged) }) {
		add(weight, 5, func(s verdict.Strip) string { return orDash(s.Weight, plain) })
	}
	add(tillerColumn, 6, func(s verdict.Strip) string {
		signed := func(f estimate.Figure) string { return rule.PrintSigned(measure.Length(f.Estimate)) }
		return orDash(s.Tiller, signed)
	})
	add(unevenColumn, 6, func(s verdict.Strip) string {
		share := func(f estimate.Figure) string { return fmt.Sprintf("%.0f", 100*f.Estimate) }
		return orDash(s.Limbs[model.Lower].Uneven, share) + "/" + orDash(s.Limbs[model.Upper].Uneven, share) + "%"
	})
	rest := room - 1
	add(cameOffColumn, rest, func(s verdict.Strip) string {
		if ansi.StringWidth(s.Off) <= rest {
			return s.Off
		}
		return cmp.Or(strokesOff(s), s.Off)
	})
	return all
}

// passLine is a pass's strip behind its number, with a sign before the one that is looked at.
func passLine(s look.Styles, a verdict.Advice, pass, at, width int, wanted ...string) string {
	lead := fmt.Sprintf("  pass %-3d", pass)
	if pass == at {
		lead = ">" + lead[1:]
	}
	room := width - len(lead) - ansi.StringWidth(stripCells(s, a.Strips[pass]))
	return stripLine(s, a.Strips[pass], lead, stripColumns(a, room, wanted...))
}

// strokesOff is what came off in strokes: up ×13, lo ×9.
func strokesOff(s verdict.Strip) string {
	var sums []string
	for side, name := range [2]string{model.Upper: "up", model.Lower: "lo"} {
		if n := s.Strokes[side]; n > 0 {
			sums = append(sums, fmt.Sprintf("%s ×%d", name, n))
		} else if s.Strokes != [2]int{} && strings.Contains(s.Off, model.Side(side).String()) {
			sums = append(sums, name) // by no count
		}
	}
	return strings.Join(sums, ", ")
}

// stripHead and stripLine are a head and a line for a pass, with lead before them. Above the cells stands how
// far out they are.
func stripHead(s look.Styles, a verdict.Advice, lead string, columns []column[verdict.Strip]) string {
	const every = 4 // cells
	lower, upper := len(a.Strips[0].Limbs[model.Lower].Cells), len(a.Strips[0].Limbs[model.Upper].Cells)
	places := []rune(left("lo", lower) + " " + right("up", upper))
	rule := measure.Rule{Unit: a.Bow.Units.Length, Step: a.Bow.Units.Length.Length(1)}
	for n := every; n <= min(lower, upper)-every; n += every {
		out := rule.Short(measure.Length(float64(2*n) * verdict.StripStep(a.Bow)))
		copy(places[lower-n-len(out)/2:], []rune(out))
		copy(places[lower+1+n-len(out)/2:], []rune(out))
	}
	head := lead + string(places) + " "
	for _, c := range columns {
		head += " " + left(c.head, c.width)
	}
	return s.Quiet.Render(head)
}

func stripLine(s look.Styles, strip verdict.Strip, lead string, columns []column[verdict.Strip]) string {
	text := lead + stripCells(s, strip) + " "
	for _, c := range columns {
		text += " " + left(c.cell(strip), c.width)
	}
	return strings.TrimRight(text, " ")
}
