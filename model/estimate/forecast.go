package estimate

import (
	"math"

	"bendbook/model/strung"
)

// Beyond what the estimate knows of itself: the smooth bow of knots and hinges stands for one of wood.
const forecastError = 0.002 // of the force, 1 sd

// A Forecast is what the bow will do at a draw.
type Forecast struct {
	Draw  float64 // of the hook from the belly line (in)
	Force Figure  // on the scale (lbf)
	// Energy is the work from brace to that draw (lbf·in).
	Energy Figure
}

// Forecast draws the bow as estimated to each of the draws (in). A draw at which the string would be slack,
// or out of reach, is left out. The error wraps [ErrUnsolved] where the bow can't even be braced.
func (st State) Forecast(draws ...float64) ([]Forecast, error) {
	p, err := st.atBrace(strung.Places{})
	if err != nil {
		return nil, err
	}
	var all []Forecast
	for _, draw := range draws {
		if p.draw(draw) == nil {
			all = append(all, p.forecast(draw))
		}
	}
	return all, nil
}

func (p *probe) forecast(draw float64) Forecast {
	return Forecast{
		Draw:   draw,
		Force:  p.wooden(p.sol.Force, p.slopes.Force),
		Energy: p.wooden(p.sol.Work, p.slopes.Work),
	}
}

// wooden is a figure that is never negative, with the band of its logarithm, so that no edge is negative
// either. Close to the brace, where the figure vanishes and its error does not, the upper edge goes on in
// proportion to the error, for a logarithm's would be beyond all numbers.
func (p *probe) wooden(mean float64, derivative []float64) Figure {
	if !(mean > 0) {
		return Figure{}
	}
	share := math.Hypot(p.st.g.sd(p.own(derivative))/mean, forecastError)
	beyond := mean * max(share-1, 0)
	return Figure{
		Estimate: mean,
		Low:      mean * math.Exp(-BandWidth*share),
		High:     mean*math.Exp(BandWidth*min(share, 1)) + BandWidth*beyond,
	}
}
