package finish

import (
	"math"

	"bendbook/model/measure"
)

// Allowance is how much of its weight a bow loses in finishing or in first use.
type Allowance struct {
	Mean      measure.Force
	Low, High measure.Force // bounds for the next bow of that wood, with 90 % certainty
	Count     int           // finished bows that it was learnt from
	Odd       int           // of these, those so far from the others that they count for little
}

// Allowances are the weights lost in finishing and in first use.
type Allowances struct{ Sanding, Settling Allowance }

// Sum is how much more than its order a bow must weigh on the tree.
func (a Allowances) Sum() measure.Force { return a.Sanding.Mean + a.Settling.Mean }

// This project's own guess at how allowances spread, in pounds.
const (
	woodSpread  = 0.5 // of shops and woods about common practice
	bowSpread   = 0.5 // of bows of one wood; learnt too
	spreadWorth = 4   // how many bows the guess at bowSpread is worth
)

const (
	// oddBeyond is how many spreads off a bow starts to count for less: Huber's usual bound, which costs 5 % of
	// the precision where nothing is odd; P. J. Huber, Robust Statistics (from memory).
	oddBeyond   = 1.345
	usualSquare = 0.7102 // mean square of a standard normal value cut off at that bound
	within90    = 1.645  // spreads that hold nine tenths of a normal distribution
)

// Learn estimates an allowance from what a shop's own finished bows lost, starting from common practice.
//
// With the mean μ of the wood spread as N(start, 0.5²) and each bow's loss as N(μ, σ²), the mean after n
// bows is (start/0.25 + Σ wᵢxᵢ/σ²)/(1/0.25 + Σ wᵢ/σ²), the usual normal-normal estimate; wᵢ are
// Huber's weights, min(1, 1.345σ/|xᵢ−μ|), so that one odd bow moves it by no more than a bow at that
// bound would. σ² is the mean of the supposed 0.5², worth four bows, and the squares of what was seen, cut
// off at the bound. The band is that of one further bow: ± 1.645 √(1/(1/0.25 + Σ wᵢ/σ²) + σ²).
func Learn(start measure.Force, losses []measure.Force) Allowance {
	mean, spread := float64(start), bowSpread
	precision := 1 / (woodSpread * woodSpread)
	weights := make([]float64, len(losses))
	for range 100 {
		meanBefore, spreadBefore := mean, spread
		sum, weight, squares := 0.0, 0.0, 0.0
		for i, loss := range losses {
			off, bound := math.Abs(float64(loss)-mean), oddBeyond*spread
			weights[i] = min(1, bound/off)
			sum += weights[i] * float64(loss)
			weight += weights[i]
			// An odd bow widens the spread only as far as one at the bound would.
			squares += min(off, bound) * min(off, bound)
		}
		precision = 1/(woodSpread*woodSpread) + weight/(spread*spread)
		mean = (float64(start)/(woodSpread*woodSpread) + sum/(spread*spread)) / precision
		supposed := spreadWorth * bowSpread * bowSpread
		spread = math.Sqrt((supposed + squares/usualSquare) / float64(spreadWorth+len(losses)))
		if math.Abs(mean-meanBefore)+math.Abs(spread-spreadBefore) < 1e-12 {
			break
		}
	}
	half := within90 * math.Sqrt(1/precision+spread*spread)
	a := Allowance{measure.Force(mean), measure.Force(mean - half), measure.Force(mean + half), len(losses), 0}
	for _, w := range weights {
		if w < 0.5 {
			a.Odd++
		}
	}
	return a
}
