package finish

import (
	"math"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
)

// The ways of rounding a marked weight.
const (
	roundDown    = "down"
	roundNearest = "nearest"
	roundUp      = "up"
)

// stamp is how a shop marks its bows.
type stamp struct {
	Text  string  `json:"text"` // with {weight}, {force}, {draw}, {length}, {number}
	Round string  `json:"round"`
	Step  float64 `json:"to"` // that the weight is rounded to, in the bow's own unit of force
}

// roundingSlack keeps the arithmetic of other units from rounding 35.0 down to 34, in steps.
const roundingSlack = 1e-6

// weight is a weight rounded as it is stamped on a bow of that unit. No trade standard says how.
func (s stamp) weight(weight measure.Force, unit measure.ForceUnit) measure.Force {
	steps := weight.In(unit) / s.Step
	switch s.Round {
	case roundUp:
		steps = math.Ceil(steps - roundingSlack)
	case roundNearest:
		steps = math.Round(steps)
	default:
		steps = math.Floor(steps + roundingSlack)
	}
	return unit.Force(steps * s.Step)
}

// Mark is the stamp that a bow should get, and why.
type Mark struct {
	Text               string
	Weight             measure.Force // as stamped
	Settled, Low, High measure.Force // what Weight is rounded from, with its 90 % band
	From               measure.Force // the weighing that it comes from
	Weighed            Weighed
}

// Weighed is which weighing a mark comes from.
type Weighed int

// The weighings that a mark may come from.
const (
	onTree   Weighed = iota + 1 // finishing and first use are still to take their share: the mark is foretold
	Finished                    // first use is still to take its share
	inUse                       // after first use
)

// Foretold reports whether it is too early to stamp the mark.
func (m Mark) Foretold() bool { return m.Weighed == onTree }

// MarkOf is the stamp for a bow: its last weighing at the ordered draw, less what finishing and first use
// will still take. ok is false for a bow without an ordered draw or a weighing at it.
func (s Settings) MarkOf(bow model.Bow, w Weighings, takes Allowances) (mark Mark, ok bool) {
	draw, ordered := bow.Order.Draw.Get()
	var ahead []Allowance
	var weight measure.Force
	switch {
	case w.Used.Known():
		mark.Weighed, weight = inUse, w.Used.Or(0)
	case w.Finished.Known():
		mark.Weighed, weight, ahead = Finished, w.Finished.Or(0), []Allowance{takes.Settling}
	case w.Tree.Known():
		mark.Weighed, weight, ahead = onTree, w.Tree.Or(0), []Allowance{takes.Sanding, takes.Settling}
	}
	if !ordered || mark.Weighed == 0 {
		return Mark{}, false
	}
	mark.From = weight
	lost, spread := 0.0, bow.Rig.GainError()*within90
	for _, take := range ahead {
		lost += take.Mean
		spread = math.Hypot(spread, (take.High-take.Low)/2)
	}
	mark.Settled = weight / measure.Force(1+lost)
	off := mark.Settled * measure.Force(spread)
	mark.Low, mark.High = mark.Settled-off, mark.Settled+off
	mark.Weight = s.Mark.weight(mark.Settled, bow.Units.Force)
	mark.Text = s.Mark.spell(bow, mark.Weight, draw)
	return mark, true
}

// spell fills in the text of the stamp. A number that the bow doesn't have yet is left out.
func (s stamp) spell(bow model.Bow, weight measure.Force, draw measure.Length) string {
	scale := measure.Scale{Unit: bow.Units.Force, Step: bow.Units.Force.Force(s.Step)}
	text := strings.NewReplacer(
		"{weight}", scale.Short(weight), "{force}", bow.Units.Force.Symbol(),
		"{draw}", bow.Ruler().Short(draw), "{length}", string(bow.Units.Length), "{number}", bow.Number,
	).Replace(s.Text)
	return strings.Join(strings.Fields(text), " ")
}
