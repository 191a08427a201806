package plan

import (
	"math"

	"bendbook/model/estimate"
)

// An Outcome is what the bow is with some wood off, bands 90 %.
type Outcome struct {
	Weight estimate.Figure // at the ordered draw (lbf)
	Tiller estimate.Figure // at its place (in)
	State  estimate.State  // the bow that is then expected, for bend, forecast and all else
	// ChanceUnder and ChanceOver are those of less than the least and of more than the most weight wanted.
	ChanceUnder, ChanceOver float64
}

// chanceRight is that of a weight within what is wanted.
func (o Outcome) chanceRight() float64 { return max(1-o.ChanceUnder-o.ChanceOver, 0) }

// A Verdict says how far a bow is by the plan alone; package session/verdict says what to do next.
type Verdict uint8

// The verdicts.
const (
	// Scrape: there is wood to take, by the plan.
	Scrape Verdict = iota
	// Done: the weight is right, and nothing else is wrong.
	Done
	// Weak: the bow has less than the weight wanted, and taking wood can't help.
	Weak
	// Unsure: nothing may be taken before more is read, for the weight is not known well enough.
	Unsure
	// Left: the weight is right, and what is wrong besides can't be cured by taking wood.
	Left
)

// Judge says how far the bow is, with the findings of the bow as it is.
func (p Plan) Judge(findings []estimate.Finding) Verdict {
	weight := p.Now.chanceRight() >= right
	switch {
	case weight && len(findings) == 0 && !p.TillerOff():
		return Done
	case p.Now.ChanceUnder > 0.5:
		return Weak
	case len(p.Cuts) > 0:
		return Scrape
	case weight:
		return Left
	}
	return Unsure
}

// TillerOff says that the tiller is more than a sixteenth of an inch from what is wanted.
func (p Plan) TillerOff() bool {
	return math.Abs(p.Now.Tiller.Estimate-p.Wanted.Tiller) > tillerOff
}

func sd(f estimate.Figure) float64 { return (f.High - f.Low) / 2 / quantile }

// normal is the standard normal distribution.
func normal(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
