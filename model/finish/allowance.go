package finish

import (
	"math"

	"bendbook/model"
	"bendbook/model/measure"
)

// Allowance is how much of its weight a bow loses in finishing or in first use, as a share of what is left.
type Allowance struct {
	Mean      float64
	Low, High float64 // bounds for the next bow of that wood, with 90 % certainty
	Count     int     // finished bows that it was learnt from
	Odd       int     // of these, those so far from the others that they count for little
}

// In is the allowance of a bow that weighs so much once it is lost, as a weight.
func (a Allowance) In(weight measure.Force) measure.Force { return weight * measure.Force(a.Mean) }

// Allowances are the shares lost in finishing and in first use. They add up: what finishing takes of the
// share that first use takes is far below what a scale shows.
type Allowances struct{ Sanding, Settling Allowance }

// Marked is the weight after first use of a bow that weighs so much on the tree.
func (a Allowances) Marked(tree measure.Force) measure.Force {
	return tree / measure.Force(1+a.Sanding.Mean+a.Settling.Mean)
}

// This project's own guess at how allowances spread: half a pound on a bow of 40.
const (
	woodSpread  = 0.0125 // of shops and woods about common practice
	bowSpread   = 0.0125 // of bows of one wood; learnt too
	spreadWorth = 4      // how many bows the guess at bowSpread is worth
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
// With the mean μ of the wood spread as N(start, τ²), τ = 1.25 %, and each bow's loss as N(μ, σ²), the mean
// after n bows is (start/τ² + Σ wᵢxᵢ/σ²)/(1/τ² + Σ wᵢ/σ²), the usual normal-normal estimate; wᵢ are
// Huber's weights, min(1, 1.345σ/|xᵢ−μ|), so that one odd bow moves it by no more than a bow at that
// bound would. σ² is the mean of the supposed (1.25 %)², worth four bows, and the squares of what was seen,
// cut off at the bound. The band is that of one further bow: ± 1.645 √(1/(1/τ² + Σ wᵢ/σ²) + σ²).
func Learn(start float64, losses []float64) Allowance {
	mean, spread := start, bowSpread
	precision := 1 / (woodSpread * woodSpread)
	weights := make([]float64, len(losses))
	for range 100 {
		meanBefore, spreadBefore := mean, spread
		sum, weight, squares := 0.0, 0.0, 0.0
		for i, loss := range losses {
			off, bound := math.Abs(loss-mean), oddBeyond*spread
			weights[i] = min(1, bound/off)
			sum += weights[i] * loss
			weight += weights[i]
			// An odd bow widens the spread only as far as one at the bound would.
			squares += min(off, bound) * min(off, bound)
		}
		precision = 1/(woodSpread*woodSpread) + weight/(spread*spread)
		mean = (start/(woodSpread*woodSpread) + sum/(spread*spread)) / precision
		supposed := spreadWorth * bowSpread * bowSpread
		spread = math.Sqrt((supposed + squares/usualSquare) / float64(spreadWorth+len(losses)))
		if math.Abs(mean-meanBefore)+math.Abs(spread-spreadBefore) < 1e-12 {
			break
		}
	}
	half := within90 * math.Sqrt(1/precision+spread*spread)
	a := Allowance{mean, mean - half, mean + half, len(losses), 0}
	for _, w := range weights {
		if w < 0.5 {
			a.Odd++
		}
	}
	return a
}

// Wanted is the weight that a bow is to have on the tree, with the least and the most that is still right.
type Wanted struct{ Least, Weight, Most measure.Force }

func (w Wanted) holds(weight measure.Force) bool { return weight >= w.Least && weight <= w.Most }

// How far a weight may be off and still be right (common practice).
const (
	under measure.Force = 0.5
	over  measure.Force = 1
)

// Wanted is what was ordered and what finishing and first use take; unread where no weight was ordered. An
// order that allows less than a pound narrows it.
func (a Allowances) Wanted(order model.Order) (w measure.Optional[Wanted]) {
	weight, ordered := order.Weight.Get()
	if !ordered {
		return w
	}
	most := over
	if allow, known := order.Allow.Get(); known {
		most = min(over, max(allow, under))
	}
	weight += a.Sanding.In(weight) + a.Settling.In(weight)
	return measure.Some(Wanted{weight - under, weight, weight + most})
}
