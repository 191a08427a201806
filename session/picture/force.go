package picture

import (
	"fmt"
	"math"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/advice"
)

// Force is the force-draw curve with its band, the peaks that were read, and what was ordered. ok is false before the
// first peak.
func Force(story session.Story, a advice.Advice) (p Picture, ok bool) {
	bow := story.Bow()
	peaks := lastPeaks(story)
	if len(a.Curve) == 0 && len(peaks) == 0 {
		return Picture{}, false
	}
	inch := func(v float64) float64 { return measure.Length(v).In(bow.Units.Length) }
	pound := func(v float64) float64 { return measure.Force(v).In(bow.Units.Force) }
	p = Picture{Name: "force", Title: "Force over draw"}
	c := chart{
		x: axis{label: fmt.Sprintf("draw from the belly (%s)", bow.Units.Length)},
		y: axis{label: fmt.Sprintf("force (%s)", bow.Units.Force.Symbol())},
	}
	var xs, ys []float64
	if len(a.Curve) > 0 {
		curve, edge := series{name: "estimate", look: look{class: "s0", width: 2.2}}, band{name: "90 % band"}
		for _, f := range a.Curve {
			curve.x, curve.y = append(curve.x, inch(f.Draw)), append(curve.y, pound(f.Force.Estimate))
			edge.x, edge.low, edge.high = append(edge.x, inch(f.Draw)), append(edge.low, pound(f.Force.Low)), append(edge.high, pound(f.Force.High))
		}
		xs, ys = append(xs, curve.x...), append(append(append(ys, curve.y...), edge.high...), edge.low...)
		c.series, c.bands = append(c.series, curve), append(c.bands, edge)
	}
	read := series{name: "peaks read", look: look{class: "s1", mark: disc, bare: true}}
	for _, pull := range peaks {
		read.x, read.y = append(read.x, pull.Draw.In(bow.Units.Length)), append(read.y, pull.Peak.Or(0).In(bow.Units.Force))
	}
	if len(peaks) > 0 {
		xs, ys, c.series = append(xs, read.x...), append(ys, read.y...), append(c.series, read)
	}
	if draw, weight, known := ordered(bow); known {
		x, y := draw.In(bow.Units.Length), weight.In(bow.Units.Force)
		xs, ys = append(xs, x), append(ys, y)
		c.series = append(c.series, series{name: "ordered", x: []float64{x}, y: []float64{y}, look: look{class: "aim", mark: cross, bare: true}})
	}
	c.x.min, c.x.max = around(true, xs...)
	c.y.min, c.y.max = around(true, ys...)
	p.chart = c
	p.Says = saysForce(bow, a, peaks)
	p.Table = forceTable(bow, a, peaks)
	return p, true
}

// forceTable is the same in figures: the estimate with the peak that was read there, or the peaks alone.
func forceTable(bow model.Bow, a advice.Advice, peaks []model.Pull) Table {
	rule, scale := bow.Ruler(), bow.Weigher()
	t := Table{Head: []string{fmt.Sprintf("draw (%s)", bow.Units.Length), fmt.Sprintf("estimate (%s)", bow.Units.Force.Symbol()), "90 % band", "peak read"}}
	at := func(draw measure.Length) string {
		for _, pull := range peaks {
			if math.Abs(float64(pull.Draw-draw)) < 1e-6 {
				return scale.Print(pull.Peak.Or(0))
			}
		}
		return "-"
	}
	for _, f := range a.Curve {
		t.Rows = append(t.Rows, []string{
			rule.Print(measure.Length(f.Draw)), scale.Print(measure.Force(f.Force.Estimate)),
			fmt.Sprintf("%s to %s", scale.Print(measure.Force(f.Force.Low)), scale.Print(measure.Force(f.Force.High))), at(measure.Length(f.Draw)),
		})
	}
	if len(a.Curve) == 0 {
		for _, pull := range peaks {
			t.Rows = append(t.Rows, []string{rule.Print(pull.Draw), "-", "-", scale.Print(pull.Peak.Or(0))})
		}
	}
	return t
}

// lastPeaks are the peaks of the newest pass that has any.
func lastPeaks(story session.Story) []model.Pull {
	if _, pass, ok := story.Weight(); ok {
		return story.Passes[pass].Peaks()
	}
	return nil
}

// ordered is the ordered weight with its draw from the belly.
func ordered(bow model.Bow) (draw measure.Length, weight measure.Force, known bool) {
	draw, drawKnown := bow.DrawToBelly().Get()
	weight, weightKnown := bow.Order.Weight.Get()
	return draw, weight, drawKnown && weightKnown
}

func saysForce(bow model.Bow, a advice.Advice, peaks []model.Pull) string {
	rule, scale := bow.Ruler(), bow.Weigher()
	var says strings.Builder
	if n := len(peaks); n > 0 {
		says.WriteString(fmt.Sprintf("The longest pull with a peak weighed %s.", session.SayPeak(bow, peaks[n-1])) + " ")
	}
	if f, ok := a.Weight.Get(); ok {
		says.WriteString(fmt.Sprintf("At %s the bow is estimated to weigh %s, nine times in ten between %s and %s.", rule.WithUnit(measure.Length(f.Draw)), scale.WithUnit(measure.Force(f.Force.Estimate)), scale.Print(measure.Force(f.Force.Low)), scale.WithUnit(measure.Force(f.Force.High))) + " ")
	}
	if wanted := session.SayWanted(bow); wanted != "" {
		says.WriteString(fmt.Sprintf("Ordered: %s.", wanted))
	}
	return strings.TrimSpace(says.String())
}
