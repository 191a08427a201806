package verdict

import (
	"cmp"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// Repeats are how far readings differ that were taken twice in one pose with nothing done between, by rule
// and by scale.
type Repeats struct {
	Rule  Spread `json:"rule"`
	Scale Spread `json:"scale"`
}

// A Spread is a number of readings, and the sum of their variances over those that are assumed.
type Spread struct {
	Count   int     `json:"count"`
	Squares float64 `json:"squares"`
}

func (s *Spread) add(count int, squares float64) {
	s.Count += count
	s.Squares += squares
}

// With are both together.
func (r Repeats) With(other Repeats) Repeats {
	r.Rule.add(other.Rule.Count, other.Rule.Squares)
	r.Scale.add(other.Scale.Count, other.Scale.Squares)
	return r
}

// Errors are by how much the errors of rule and scale are greater than is assumed; 0 is 1.
type Errors struct {
	Rule  float64 `json:"rule"`
	Scale float64 `json:"scale"`
}

// Errors are those learnt.
func (r Repeats) Errors() Errors { return Errors{r.Rule.times(), r.Scale.times()} }

// What it takes to learn an error (this project's own).
const (
	assumedCount = 20   // readings that the assumed error counts for
	leastTimes   = 0.7  // of what is assumed
	mostTimes    = 3.0  // of it
	timesSteps   = 10   // to 1, in which it is learnt, so that not every reading changes all bows
	misreadBy    = 8.0  // errors from which on a difference is a misreading
	toldFrom     = 10   // readings
	exactly      = 1e-6 // by how much a draw may differ and be the same (in)
)

// times is by how much an error is greater than is assumed; 1 where chance may make as much of what is
// assumed.
func (s Spread) times() float64 {
	if n := float64(s.Count); math.Abs(s.Squares-n) <= estimate.BandWidth*math.Sqrt(2*n) {
		return 1
	}
	square := (assumedCount + s.Squares) / float64(assumedCount+s.Count)
	times := math.Sqrt(min(max(square, leastTimes*leastTimes), mostTimes*mostTimes))
	return math.Round(times*timesSteps) / timesSteps
}

// of is a bow with those errors.
func (e Errors) of(b estimate.Bow) estimate.Bow {
	b.Errors.Line *= cmp.Or(e.Rule, 1)
	b.Errors.Peak *= cmp.Or(e.Scale, 1)
	return b
}

// RepeatsIn are those of a story.
func RepeatsIn(story session.Story) (r Repeats) {
	w := rereader{bow: bowOf(story), at: stationsOf(story.Bow())}
	for _, sitting := range story.Sessions {
		w.forget()
		for _, line := range story.LinesIn(sitting) {
			if line.Counts() {
				w.look(line.On, line.What)
			}
		}
	}
	return w.Repeats
}

// A rereader looks for readings taken twice.
type rereader struct {
	Repeats
	bow   estimate.Bow
	at    [2][]float64
	walks []walk
	pull  model.Pull
	on    int // the string that the bow hangs on
}

// walk is one reading of the stations in a pose.
type walk struct {
	pose session.Pose
	rows model.Readings
}

func (w *rereader) forget() { w.walks, w.pull = nil, model.Pull{} }

func (w *rereader) look(on int, what model.Event) {
	if on != w.on {
		w.forget()
		w.on = on
	}
	switch e := what.(type) {
	case model.Scrape, model.Exercise, model.StringLength, model.Finish:
		w.forget()
	case model.Relaxed:
		w.pull = model.Pull{}
		w.walk(session.Pose{Kind: model.KindRelaxed}, e.Readings)
	case model.Braced:
		w.walk(session.Pose{Kind: model.KindBraced, From: e.From}, e.Readings)
	case model.Pull:
		first, known := w.pull.Peak.Get()
		second, also := e.Peak.Get()
		if known && also && math.Abs(float64(e.Draw-w.pull.Draw)) <= exactly {
			w.peaks(float64(first), float64(second), float64(e.Draw))
		}
		w.pull = e
		w.walk(session.Pose{Kind: model.KindPull, From: e.From, Draw: e.Draw}, e.Readings)
	}
}

// peaks takes two at one draw. What is not the scale's own, the estimate knows of already.
func (w *rereader) peaks(first, second, draw float64) {
	sd, pull := w.bow.Errors.Peak, w.bow.PullError(second, draw)
	if half := (second - first) / math.Sqrt2; math.Abs(half) <= misreadBy*math.Hypot(sd, pull) {
		w.Scale.add(1, (half*half-pull*pull)/(sd*sd))
	}
}

// walk takes a reading of the stations, against the last in the same pose.
func (w *rereader) walk(pose session.Pose, rows model.Readings) {
	if !rows.Any() {
		return
	}
	for i := range w.walks {
		if before := &w.walks[i]; before.pose.Kind == pose.Kind && before.pose.From == pose.From &&
			math.Abs(float64(before.pose.Draw-pose.Draw)) <= exactly {
			for _, side := range model.Sides {
				w.limb(side, before.rows, rows)
			}
			before.rows = rows
			return
		}
	}
	w.walks = append(w.walks, walk{pose, rows})
}

// limb takes two readings of one limb. A course of their difference along it is a tilt, or a bow that was
// drawn or set otherwise, and no error of the rule.
func (w *rereader) limb(side model.Side, first, second model.Readings) {
	var at, off []float64
	for i, place := range w.at[side] {
		a, known := first.At(side, i).Get()
		b, also := second.At(side, i).Get()
		if known && also {
			at, off = append(at, place, place*place), append(off, float64(b-a)/math.Sqrt2)
		}
	}
	const shapes = 2
	n := len(off)
	if n <= shapes {
		return
	}
	x, y := mat.NewDense(n, shapes, at), mat.NewVecDense(n, off)
	var best, left mat.VecDense
	if best.SolveVec(x, y) != nil {
		return
	}
	left.MulVec(x, &best)
	left.SubVec(y, &left)
	sd := w.bow.Errors.Line
	if mat.Norm(&left, math.Inf(1)) <= misreadBy*sd {
		w.Rule.add(n-shapes, mat.Dot(&left, &left)/(sd*sd))
	}
}

// say are the errors learnt in sentences, for a rule and a scale of such steps, in the units of a shop.
func (r Repeats) say(units measure.Units, rule, scale float64) (all []string) {
	usual := estimate.UsualErrors(rule, scale, false)
	pounds := measure.Scale{Unit: units.Force, Step: units.Force.Force(0.01)}
	for _, of := range []struct {
		Spread
		name string
		say  func(float64) string
		sd   float64
	}{
		{r.Rule, "rule", func(sd float64) string { return sayFine(units.Length, sd) }, usual.Line},
		{r.Scale, "scale", func(sd float64) string { return pounds.WithUnit(measure.Force(sd)) }, usual.Peak},
	} {
		if of.Count < toldFrom {
			continue
		}
		repeats, goes := math.Sqrt(max(of.Squares, 0)/float64(of.Count))*of.sd, of.say(of.times()*of.sd)
		said := fmt.Sprintf("Your %s repeats to %s, over %d readings; I ", of.name, of.say(repeats), of.Count)
		if assumed := of.say(of.sd); goes == assumed {
			said += fmt.Sprintf("assume %s.", assumed)
		} else {
			said += fmt.Sprintf("go by %s, not %s.", goes, assumed)
		}
		all = append(all, said)
	}
	return all
}

// sayFine is a small length: 1/24 in, 0.9 mm.
func sayFine(unit measure.LengthUnit, l float64) string {
	if unit == measure.Inch {
		return fmt.Sprintf("1/%.0f in", 1/max(l, 1e-3))
	}
	return fmt.Sprintf("%.2g %s", measure.Length(l).In(unit), unit)
}

// Taught are, in sentences, what a shop's bows teach of ranges and errors, for a rule and a scale of such
// steps; 0 is the usual.
func Taught(k Kept, r Repeats, units measure.Units, rule measure.Length, scale measure.Force) []string {
	return nonEmpty(append([]string{k.Say()}, r.say(units, float64(rule), float64(scale))...)...)
}
