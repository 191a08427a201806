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

// quantile is the 95 % quantile of the standard normal distribution.
const quantile = estimate.BandWidth

func sd(f estimate.Figure) float64 { return (f.High - f.Low) / 2 / quantile }

// normal is the standard normal distribution.
func normal(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
