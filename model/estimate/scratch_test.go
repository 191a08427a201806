package estimate_test

import (
	"testing"

	"bendbook/model/estimate"
	"bendbook/model/virtualtest"
)

func TestScratch(t *testing.T) {
	for _, share := range []float64{0.75, 1} {
		for name, line := range map[string]bool{"lines": true, "peaks": false} {
			var sd []float64
			for i := range 20 {
				_, st := someStave(t, 90, i, func(d float64) virtualtest.Plan {
					p := lines16(d)
					p.Draws = toShare(d, share)
					p.LineDraws = nil
					if line {
						p.LineDraws = p.Draws
					}
					return p
				})
				f := weight(t, st, st.Bow().Draw)
				sd = append(sd, 100*(f.High-f.Low)/2/estimate.BandWidth/f.Estimate)
			}
			t.Logf("to %v, %s: sd %.2f %%", share, name, virtualtest.Quantile(sd, 0.5))
		}
	}
}
