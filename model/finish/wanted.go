package finish

import (
	"bendbook/model"
	"bendbook/model/measure"
)

// Wanted is the weight that a bow is to have on the tree, with the least and the most that is still right.
type Wanted struct{ Least, Weight, Most measure.Force }

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
