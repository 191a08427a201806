package plan

import (
	"math"

	"bendbook/model/estimate"
)

// wear is the weight that a bow still loses as it takes set and is exercised.
type wear struct {
	// Mean and Error are of the logarithm of weight and its standard deviation.
	Mean, Error float64
}

// wear predicts what the bow loses by its first full draw. Where relaxed readings show its set so far, they
// correct the usual set.
func (w Wanted) wear(st estimate.State, t *estimate.Trial) (wear, error) {
	share := st.Bow().SetShare
	now := share(st.Longest())
	mean, spread := usualSet, usualSetError
	if _, set, known, err := st.Follow(); err == nil && known {
		if grown := now - share(st.SetSince()); grown > 0 {
			gain := spread * spread * grown / (spread*spread*grown*grown + sd(set)*sd(set))
			mean += gain * (set.Estimate - mean*grown)
			spread *= math.Sqrt(1 - gain*grown)
		}
	}
	tried, err := t.With(nil)
	if err != nil {
		return wear{}, err
	}
	// The forecast allows for some of it.
	left, allowed := 1-now, st.FirstSet()
	open := math.Hypot(spread, lawError*mean)
	open = math.Sqrt(max(open*open-sd(allowed)*sd(allowed), 0))
	return wear{
		Mean:  wearPass*left - tried.SetBy*(max(mean, 0)-allowed.Estimate)*left,
		Error: math.Hypot(wearPassError*left, tried.SetBy*open*left),
	}, nil
}
