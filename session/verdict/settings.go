package verdict

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/model/wood"
)

// Settings are what a shop's own bows teach; see [Usual].
type Settings struct {
	Takes   finish.Allowances // what first use and finishing take
	Strokes Strokes           // what the shop's tools take; nil stands for common practice
	Repeats Repeats           // of the readings of all bows
	Off     []float64         // the ledgers of its last other bows, in one
	Stretch []float64         // by which their strings stretch (in)
}

// Usual are the settings by common practice.
func Usual() Settings {
	usual := finish.Usual().Allowances
	return Settings{Takes: finish.Allowances{
		Settling: finish.Allowance{Mean: usual.Settling.Share()},
		Sanding:  finish.Allowance{Mean: usual.Sanding.Share()},
	}}
}

// Strokes are what strokes take, as a shop's scrapings show.
type Strokes map[Tool]plan.Stroke

// Tool is a tool on a wood.
type Tool struct{ Tool, Wood string }

// toolOn is a tool on a wood, as a shop names them: case and spaces at the ends don't count, and a wood has
// one of its names.
func toolOn(tool, on string) Tool {
	return Tool{Tool: strings.ToLower(strings.TrimSpace(tool)), Wood: wood.Kind(on)}
}

// Of is what a stroke takes; ok is false where no scraping says anything yet.
func (s Strokes) Of(tool, wood string) (stroke plan.Stroke, ok bool) {
	stroke, ok = s[toolOn(tool, wood)]
	return stroke, ok && stroke.Count > 0
}

// taking is the stroke of a scraping as the estimate takes it; the zero is the usual one.
func (s Strokes) taking(tool, wood string) estimate.Stroke {
	if stroke, ok := s.Of(tool, wood); ok {
		return stroke.Taking()
	}
	return estimate.Stroke{}
}

// Repeats are how far readings differ that were taken twice in one pose with nothing done between, by rule,
// by scale and off photographs.
type Repeats struct {
	Rule  scatter `json:"rule"`
	Scale scatter `json:"scale"`
	Photo scatter `json:"photo,omitzero"`
}

// A scatter is a number of readings, and the sum of their variances over those that are assumed.
type scatter struct {
	Count   int     `json:"count"`
	Squares float64 `json:"squares"`
}

func (s *scatter) add(count int, squares float64) {
	s.Count += count
	s.Squares += squares
}

// With are both together.
func (r Repeats) With(other Repeats) Repeats {
	r.Rule.add(other.Rule.Count, other.Rule.Squares)
	r.Scale.add(other.Scale.Count, other.Scale.Squares)
	r.Photo.add(other.Photo.Count, other.Photo.Squares)
	return r
}

// Errors are by how much the errors of rule, scale and picture are greater than is assumed; 0 is 1.
type Errors struct {
	Rule  float64 `json:"rule"`
	Scale float64 `json:"scale"`
	Photo float64 `json:"photo,omitzero"`
}

// Errors are those learnt.
func (r Repeats) Errors() Errors {
	e := Errors{Rule: r.Rule.times(), Scale: r.Scale.times()}
	// What board, lens and stickers are off is the same in all pictures: repeats don't show it.
	if times := r.Photo.times(); times > 1 {
		e.Photo = times
	}
	return e
}

// What it takes to learn an error (this project's own).
const (
	assumedCount = 20  // readings that the assumed error counts for
	leastTimes   = 0.7 // of what is assumed
	mostTimes    = 3.0 // of it
	timesSteps   = 10  // to 1, in which it is learnt, so that not every reading changes all bows
	toldFrom     = 10  // readings
)

// times is by how much an error is greater than is assumed; 1 where chance may make as much of what is
// assumed.
func (s scatter) times() float64 {
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
	b.Errors.Photo *= cmp.Or(e.Photo, 1)
	return b
}

// say are the errors learnt in sentences, for a rule and a scale of such steps, in the units of a shop.
func (r Repeats) say(units measure.Units, rule, scale float64) (all []string) {
	usual := estimate.UsualErrors(rule, scale, false)
	pounds := measure.Scale{Unit: units.Force, Step: units.Force.Force(0.01)}
	for _, of := range []struct {
		scatter
		name string
		say  func(float64) string
		sd   float64
	}{
		{r.Rule, "rule", func(sd float64) string { return sayFine(units.Length, sd) }, usual.Line},
		{r.Scale, "scale", func(sd float64) string { return pounds.WithUnit(measure.Force(sd)) }, usual.Peak},
		{r.Photo, "camera", func(sd float64) string { return sayFine(units.Length, sd) }, usual.Photo},
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

// Kept is how many of the ranges held that were given before a reading, and by how much ranges are wider for
// it.
type Kept struct {
	Held, Of int
	Scale    float64
}

// KeptOf counts, over the ledgers of several bows.
func KeptOf(off []float64) Kept {
	k := Kept{Of: len(off), Scale: estimate.Widening(off)}
	for _, z := range off {
		if math.Abs(z) <= estimate.BandWidth {
			k.Held++
		}
	}
	return k
}

// Say is the ledger in a sentence, "" before there is any.
func (k Kept) Say() string {
	if k.Of == 0 {
		return ""
	}
	said := fmt.Sprintf("%d of %d of my ranges held", k.Held, k.Of)
	switch wider := math.Round(100 * (k.Scale - 1)); {
	case wider > 0:
		return fmt.Sprintf("%s, so I widen the ranges of weights by %.0f%%.", said, wider)
	case wider < 0:
		return fmt.Sprintf("%s, so I narrow the ranges of weights by %.0f%%. The stop line stays.", said, -wider)
	}
	return said + "."
}
