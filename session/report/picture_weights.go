package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// mostDraws is how many draws are followed over the passes.
const mostDraws = 4

// weightsPicture is the peaks at the same draws, pass over pass. ok is false before the first peak.
func weightsPicture(story session.Story, _ verdict.Advice) (p picture, ok bool) {
	bow := story.Bow()
	draws := followed(story)
	if len(draws) == 0 {
		return picture{}, false
	}
	unit := bow.Units.Force
	c := chart{x: axis{label: "pass", min: -0.4, max: float64(len(story.Passes)) - 0.6}}
	c.y.label = fmt.Sprintf("peak (%s)", unit.Symbol())
	t := Table{Head: []string{"pass"}, Rows: make([][]string, len(story.Passes))}
	for n := range story.Passes {
		c.x.ticks = append(c.x.ticks, tick{float64(n), fmt.Sprint(n)})
		t.Rows[n] = []string{fmt.Sprint(n)}
	}
	var says sentences
	for i, draw := range draws {
		at := "at " + bow.Ruler().WithUnit(draw)
		s := series{name: at, look: looks[i]}
		var peaks []measure.Force
		for n, pass := range story.Passes {
			peak := pass.Peak(draw)
			t.Rows[n] = append(t.Rows[n], or(peak, bow.Weigher().Print))
			// The line goes on across a pass without this draw: that is no gap in the bow.
			if known, ok := peak.Get(); ok {
				peaks = append(peaks, known)
				s.add(float64(n), known.In(unit))
			}
		}
		c.series = append(c.series, s)
		t.Head = append(t.Head, fmt.Sprintf("%s (%s)", at, unit.Symbol()))
		last := bow.Weigher().WithUnit(peaks[len(peaks)-1])
		if len(peaks) == 1 {
			says = append(says, at+" it weighed "+last)
		} else {
			says.addf("%s it went from %s to %s in %d passes",
				at, bow.Weigher().Print(peaks[0]), last, len(peaks))
		}
	}
	c.fitY(true)
	if weight, known := bow.Order.Weight.Get(); known && weight.In(unit) <= 1.3*c.y.max {
		y := weight.In(unit)
		c.series = append(c.series, series{
			name: "ordered", x: []float64{c.x.min, c.x.max}, y: []float64{y, y},
			look: look{class: "aim", width: 1, dash: "2 3"},
		})
		c.fitY(true)
	}
	return picture{
		Name: "weights", Title: "Weight over the passes", Table: t, chart: c,
		Says: fmt.Sprintf("What the bow weighed as wood came off: %s.", strings.Join(says, "; ")),
	}, true
}

// followed are the draws that were weighed in most passes, by draw; the longer of those weighed equally
// often.
func followed(story session.Story) []measure.Length {
	type weighed struct {
		draw   measure.Length
		passes int
	}
	var all []weighed
	for _, pass := range story.Passes {
		for _, pull := range pass.Peaks() {
			i := slices.IndexFunc(all, func(d weighed) bool { return session.SameDraw(d.draw, pull.Draw) })
			if i < 0 {
				i = len(all)
				all = append(all, weighed{draw: pull.Draw})
			}
			all[i].passes++
		}
	}
	slices.SortFunc(all, func(a, b weighed) int {
		return cmp.Or(cmp.Compare(b.passes, a.passes), cmp.Compare(b.draw, a.draw))
	})
	var draws []measure.Length
	for _, d := range all[:min(len(all), mostDraws)] {
		draws = append(draws, d.draw)
	}
	slices.SortFunc(draws, func(a, b measure.Length) int { return cmp.Compare(b, a) })
	return draws
}
