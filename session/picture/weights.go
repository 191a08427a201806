package picture

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bendbook/model/measure"
	"bendbook/session"
)

// mostDraws is how many draws are followed over the passes.
const mostDraws = 4

// Weights are the peaks at the same draws, pass over pass. ok is false before the first peak.
func Weights(story session.Story) (p Picture, ok bool) {
	bow := story.Bow()
	draws := followed(story)
	if len(draws) == 0 {
		return Picture{}, false
	}
	p = Picture{Name: "weights", Title: "Weight over the passes"}
	c := chart{x: axis{label: "pass", min: -0.4, max: float64(len(story.Passes)) - 0.6}, y: axis{label: fmt.Sprintf("peak (%s)", bow.Units.Force.Symbol())}}
	for n := range story.Passes {
		c.x.ticks = append(c.x.ticks, tick{float64(n), fmt.Sprint(n)})
	}
	p.Table.Head = []string{"pass"}
	rows := make([][]string, len(story.Passes))
	for n := range rows {
		rows[n] = []string{fmt.Sprint(n)}
	}
	var all []float64
	var says []string
	for i, draw := range draws {
		s := series{name: fmt.Sprintf("at %s", bow.Ruler().WithUnit(draw)), look: looks[i]}
		var first, last measure.Force
		times := 0
		for n, pass := range story.Passes {
			peak, known := pass.Peak(draw).Get()
			rows[n] = append(rows[n], map[bool]string{true: bow.Weigher().Print(peak), false: "-"}[known])
			if !known {
				continue // the line goes on: a pass without this draw is no gap in the bow
			}
			if times++; times == 1 {
				first = peak
			}
			last = peak
			s.x, s.y = append(s.x, float64(n)), append(s.y, peak.In(bow.Units.Force))
		}
		all = append(all, s.y...)
		c.series = append(c.series, s)
		p.Table.Head = append(p.Table.Head, fmt.Sprintf("at %s (%s)", bow.Ruler().WithUnit(draw), bow.Units.Force.Symbol()))
		said := fmt.Sprintf("at %s it weighed %s", bow.Ruler().WithUnit(draw), bow.Weigher().WithUnit(last))
		if times > 1 {
			said = fmt.Sprintf("at %s it went from %s to %s in %d passes", bow.Ruler().WithUnit(draw), bow.Weigher().Print(first), bow.Weigher().WithUnit(last), times)
		}
		says = append(says, said)
	}
	if weight, known := bow.Order.Weight.Get(); known {
		y := weight.In(bow.Units.Force)
		if _, most := around(true, all...); y <= 1.3*most {
			all = append(all, y)
			c.series = append(c.series, series{name: "ordered", x: []float64{c.x.min, c.x.max}, y: []float64{y, y}, look: look{class: "aim", width: 1, dash: "2 3"}})
		}
	}
	c.y.min, c.y.max = around(true, all...)
	p.chart = c
	p.Table.Rows = rows
	p.Says = fmt.Sprintf("What the bow weighed as wood came off: %s.", strings.Join(says, "; "))
	return p, true
}

// followed are the draws that were weighed in most passes, by draw; the longer of those weighed equally often.
func followed(story session.Story) []measure.Length {
	type followedDraw struct {
		draw   measure.Length
		passes int
	}
	var all []followedDraw
	for _, pass := range story.Passes {
		for _, pull := range pass.Peaks() {
			i := slices.IndexFunc(all, func(d followedDraw) bool { return session.SameDraw(d.draw, pull.Draw) })
			if i < 0 {
				all = append(all, followedDraw{draw: pull.Draw})
				i = len(all) - 1
			}
			all[i].passes++
		}
	}
	slices.SortFunc(all, func(a, b followedDraw) int {
		return cmp.Or(cmp.Compare(b.passes, a.passes), cmp.Compare(b.draw, a.draw))
	})
	var draws []measure.Length
	for _, d := range all[:min(len(all), mostDraws)] {
		draws = append(draws, d.draw)
	}
	slices.SortFunc(draws, func(a, b measure.Length) int { return cmp.Compare(math.Abs(float64(b)), math.Abs(float64(a))) })
	return draws
}
