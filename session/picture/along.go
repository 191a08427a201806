package picture

import (
	"fmt"

	"bendbook/model"
	"bendbook/model/measure"
)

// along places what lies along the bow on the horizontal axis, in the bow's unit of length from the middle of the
// handle: the lower limb to the left, as on the bench.
type along struct {
	bow  model.Bow
	unit measure.LengthUnit
}

func alongOf(bow model.Bow) along { return along{bow, bow.Units.Length} }

// at is where a distance from the root of a limb lies.
func (a along) at(side model.Side, from measure.Length) float64 {
	x := (a.bow.Handle/2 + from).In(a.unit)
	if side == model.Lower {
		return -x
	}
	return x
}

// axis reaches from nock to nock and names the stations, from the left to the right.
func (a along) axis() axis {
	ax := axis{
		min: a.at(model.Lower, a.bow.Limbs[model.Lower].Length), max: a.at(model.Upper, a.bow.Limbs[model.Upper].Length),
		label: fmt.Sprintf("lower limb, out from the handle (%s), upper limb", string(a.unit)),
		ticks: []tick{},
	}
	lower := a.bow.Limbs[model.Lower].Stations
	for i := len(lower) - 1; i >= 0; i-- {
		ax.ticks = append(ax.ticks, tick{a.at(model.Lower, lower[i]), a.bow.Ruler().Short(lower[i])})
	}
	for _, at := range a.bow.Limbs[model.Upper].Stations {
		ax.ticks = append(ax.ticks, tick{a.at(model.Upper, at), a.bow.Ruler().Short(at)})
	}
	return ax
}
