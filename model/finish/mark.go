package finish

import (
	"math"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
)

// Rounding says which way a marked weight is rounded.
type Rounding string

// The ways of rounding.
const (
	RoundDown    Rounding = "down"
	RoundNearest Rounding = "nearest"
	RoundUp      Rounding = "up"
)

// Stamp is how a shop marks its bows.
type Stamp struct {
	Text  string   `json:"text"` // with {weight}, {force}, {draw}, {length}, {number}
	Round Rounding `json:"round"`
	Step  float64  `json:"to"` // that the weight is rounded to, in the bow's own unit of force
}

// roundingSlack keeps 35.0 from being taken for a little less by the arithmetic of other units, in steps.
const roundingSlack = 1e-6

// Weight is a weight as it is stamped on a bow of that unit; no trade standard rules it.
func (s Stamp) Weight(weight measure.Force, unit measure.ForceUnit) measure.Force {
	steps := weight.In(unit) / s.Step
	switch s.Round {
	case RoundUp:
		steps = math.Ceil(steps - roundingSlack)
	case RoundNearest:
		steps = math.Round(steps)
	default:
		steps = math.Floor(steps + roundingSlack)
	}
	return unit.Force(steps * s.Step)
}

// Mark is what is to be stamped on a bow, and why.
type Mark struct {
	Text string
	// Weight is the weight that is stamped; Settled what it is rounded from, with its 90 % band.
	Weight             measure.Force
	Settled, Low, High measure.Force
	// From is the weighing that it comes from, and which that was.
	From    measure.Force
	Weighed Weighed
}

// Weighed is which weighing a mark comes from.
type Weighed int

// The weighings that a mark may come from.
const (
	OnTree   Weighed = iota + 1 // before finishing: what that takes is still to come, so the mark is only foretold
	Finished                    // after finishing: what first use takes is still to come
	InUse                       // after first use: nothing is to come
)

// Foretold says whether the mark is not to be stamped yet.
func (m Mark) Foretold() bool { return m.Weighed == OnTree }

// MarkOf is what is to be stamped on a bow: its last weighing at the ordered draw, less what finishing and
// first use are still going to take off. ok is false for a bow without an ordered draw or a weighing at it.
func (s Settings) MarkOf(bow model.Bow, w Weighings, takes Allowances) (mark Mark, ok bool) {
	draw, ordered := bow.Order.Draw.Get()
	var ahead []Allowance
	var weight measure.Force
	switch {
	case w.Used.Known():
		mark.Weighed, weight = InUse, w.Used.Or(0)
	case w.Finished.Known():
		mark.Weighed, weight, ahead = Finished, w.Finished.Or(0), []Allowance{takes.Settling}
	case w.Tree.Known():
		mark.Weighed, weight, ahead = OnTree, w.Tree.Or(0), []Allowance{takes.Sanding, takes.Settling}
	}
	if !ordered || mark.Weighed == 0 {
		return Mark{}, false
	}
	mark.From, mark.Settled = weight, weight
	spread := 0.0
	for _, take := range ahead {
		mark.Settled -= take.Mean
		spread = math.Hypot(spread, float64(take.half()))
	}
	mark.Low, mark.High = mark.Settled-measure.Force(spread), mark.Settled+measure.Force(spread)
	mark.Weight = s.Mark.Weight(mark.Settled, bow.Units.Force)
	mark.Text = s.Mark.spell(bow, mark.Weight, draw)
	return mark, true
}

// spell is the text that is stamped. Where the bow has no number, its place stays empty.
func (s Stamp) spell(bow model.Bow, weight measure.Force, draw measure.Length) string {
	scale := measure.Scale{Unit: bow.Units.Force, Step: bow.Units.Force.Force(s.Step)}
	text := strings.NewReplacer(
		"{weight}", scale.Short(weight), "{force}", bow.Units.Force.Symbol(),
		"{draw}", bow.Ruler().Short(draw), "{length}", string(bow.Units.Length), "{number}", bow.Number,
	).Replace(s.Text)
	return strings.Join(strings.Fields(text), " ")
}
