package plan

import (
	"math"

	"bendbook/model/estimate"
)

// A Verdict says how far a bow is.
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

const (
	// right is the chance of a right weight at which it is called right.
	right = 0.9
	// tillerOff is how far the tiller may be off (in).
	tillerOff = 1.0 / 16
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
