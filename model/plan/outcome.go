package plan

import (
	"fmt"
	"math"

	"bendbook/model/estimate"
)

// An Outcome is what the bow is with some wood off, bands 90 %.
type Outcome struct {
	Weight estimate.Figure // at the ordered draw (lbf)
	Tiller estimate.Figure // at its place (in)
	// State is the bow that is then expected, for bend, forecast and all else.
	State estimate.State
	// ChanceUnder and ChanceOver are those of less than the least and of more than the most weight wanted.
	ChanceUnder, ChanceOver float64
}

// chanceRight is that of a weight within what is wanted.
func (o Outcome) chanceRight() float64 { return max(1-o.ChanceUnder-o.ChanceOver, 0) }

// quantile is the 95 % quantile of the standard normal distribution.
const quantile = estimate.BandWidth

func sd(f estimate.Figure) float64 { return (f.High - f.Low) / 2 / estimate.BandWidth }

// after is what the bow would be with cuts.
func after(st estimate.State, w Wanted, cuts []Cut) (Outcome, error) {
	if len(cuts) > 0 {
		var pass estimate.Pass
		for _, c := range cuts {
			share := st.Bow().DepthShare(c.Loss)
			pass.Scrapes = append(pass.Scrapes, estimate.Scrape{Side: c.Side, From: c.From, To: c.To, Share: share})
		}
		scraped, err := st.Fold(pass)
		if err != nil {
			return Outcome{}, fmt.Errorf("taking the wood off: %w", err)
		}
		st = scraped
	}
	o := Outcome{State: st}
	all, err := st.Forecast(w.Draw)
	if err != nil {
		return o, err
	}
	if len(all) == 0 {
		return o, fmt.Errorf("drawn %.4g: %w", w.Draw, estimate.ErrDraw)
	}
	o.Weight = all[0].Force
	tiller, err := st.Tiller(w.TillerAt)
	if err != nil {
		return o, err
	}
	o.Tiller = tiller[0]
	spread := sd(o.Weight)
	o.ChanceUnder = normal((w.Least() - o.Weight.Estimate) / spread)
	o.ChanceOver = normal((o.Weight.Estimate - w.Most()) / spread)
	return o, nil
}

// normal is the standard normal distribution.
func normal(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
