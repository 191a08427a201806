package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// strips is a bow's history, a strip a pass, in lines of letters that are all alike wide.
type strips struct {
	Says   string // the history in words
	Head   string
	At     string // what the weight is: its unit and the draw
	Rows   []stripRow
	Legend []stripRun
}

// stripRow is a line: a pass and its day, the cells of both limbs and the weight.
type stripRow struct {
	Pass, Day string
	Cells     []stripRun
	Weight    string
}

// stripRun are cells of one kind; a page colours them by their class.
type stripRun struct{ Class, Text string }

// String is the row as text.
func (r stripRow) String() string {
	text := fmt.Sprintf("%3s  %-11s%s  %s", r.Pass, r.Day, textOf(r.Cells), r.Weight)
	return strings.TrimRight(text, " ")
}

func textOf(runs []stripRun) (text string) {
	for _, run := range runs {
		text += run.Text
	}
	return text
}

// Lines are the strips as text.
func (s strips) Lines() []string {
	lines := []string{s.Head}
	for _, row := range s.Rows {
		lines = append(lines, row.String())
	}
	return append(lines, textOf(s.Legend))
}

// stripsOf are those of an advice, days as told in a place and an order; nil where no pass tells how the
// limbs bend.
func stripsOf(a verdict.Advice, place *time.Location, dates date.Order) *strips {
	if !slices.ContainsFunc(a.Strips, verdict.Strip.Tells) {
		return nil
	}
	scale := a.Bow.Weigher()
	lower, upper := len(a.Strips[0].Limbs[model.Lower].Cells), len(a.Strips[0].Limbs[model.Upper].Cells)
	at := fmt.Sprintf("%s at %s", scale.Unit.Symbol(), a.Bow.Ruler().Short(measure.Length(a.Draw)))
	s := &strips{Says: strings.Join(a.SayHistory(dates), " "), At: at,
		Head: fmt.Sprintf("%-16s%-*s%-*s  %s", "pass", lower+1, "lower limb", upper, "upper limb", at)}
	for _, strip := range a.Strips {
		day, weight := "", "-"
		if !strip.At.IsZero() {
			day = dates.Short(strip.At.In(place))
		}
		if f, known := strip.Weight.Get(); known {
			weight = fmt.Sprintf("%s (%s–%s)", scale.Print(measure.Force(f.Estimate)),
				scale.Print(measure.Force(f.Low)), scale.Print(measure.Force(f.High)))
		}
		s.Rows = append(s.Rows, stripRow{fmt.Sprint(strip.Pass), day, cellsOf(strip), weight})
	}
	for c := verdict.Stiff; c <= verdict.Weak; c++ {
		s.Legend = append(s.Legend,
			stripRun{classes[c], string(c.Glyph(false))}, stripRun{"", " " + c.String() + "  "})
	}
	s.Legend = append(s.Legend, stripRun{"", "blank can't tell"})
	return s
}

// cellsOf are both limbs' cells as in the picture, the handle between them.
func cellsOf(strip verdict.Strip) (runs []stripRun) {
	lower := slices.Clone(strip.Limbs[model.Lower].Cells)
	slices.Reverse(lower)
	cells := slices.Concat(lower, []verdict.Cell{verdict.Even}, strip.Limbs[model.Upper].Cells)
	for i, glyph := range []rune(strip.Text(model.Lower, false) + "━" + strip.Text(model.Upper, false)) {
		class := classes[cells[i]]
		if n := len(runs); n > 0 && runs[n-1].Class == class {
			runs[n-1].Text += string(glyph)
		} else {
			runs = append(runs, stripRun{class, string(glyph)})
		}
	}
	return runs
}

// classes are what a page paints cells by.
var classes = map[verdict.Cell]string{
	verdict.Stiff: "cold", verdict.SlightlyStiff: "cold", verdict.Weak: "warm", verdict.SlightlyWeak: "warm",
}
