// Package order works out what an order means before any wood is removed: the draw length in each way of
// measuring, and the published rules that the bow would break. Those are warnings: the maker
// decides.
package order

import (
	"fmt"

	"bendbook/model"
	"bendbook/model/measure"
)

// Draws is one draw in each way of measuring; unread where it can't be worked out.
type Draws struct {
	Belly measure.Optional[measure.Length] // as the tree shows it
	Back  measure.Optional[measure.Length] // longer by the depth of the handle
	Trade measure.Optional[measure.Length] // to the pivot point, plus 1¾ in
}

// DrawsOf converts the ordered draw. The pivot point of a grip without a shelf is taken to lie at the belly.
func DrawsOf(bow model.Bow) Draws {
	var d Draws
	d.Belly = bow.DrawToBelly()
	belly, known := d.Belly.Get()
	if !known {
		if bow.Order.DrawTo == model.ToBack {
			d.Back = bow.Order.Draw
		}
		return d
	}
	d.Trade = measure.Some(belly + model.TradeDrawExcess)
	if depth, known := bow.HandleDepth.Get(); known {
		d.Back = measure.Some(belly + depth)
	}
	return d
}

const (
	// The target longbow has a D section, at least ⅝ as deep as wide everywhere. It is at least 5 ft long
	// for arrows up to a limit, else 5 ft 6 in. A coach's manual (read); national rules set the limit at 27
	// in (from memory).
	leastDepthShare                = 5.0 / 8
	arrowLimit      measure.Length = 26
	shortLongbow    measure.Length = 60
	longLongbow     measure.Length = 66
	// The target flatbow is at least 150 cm nock to nock, 160 cm for men; a rule book (read).
	shortFlatbow = 150 / 2.54
	longFlatbow  = 160 / 2.54
)

// Warnings says what may go wrong with this order, each a sentence without a full stop. It checks a D section
// against the rule of the target longbow, any other against that of the flatbow.
func Warnings(bow model.Bow) []string {
	var all []string
	warn := func(format string, args ...any) { all = append(all, fmt.Sprintf(format, args...)) }
	order := bow.Order
	if order.DrawTo == model.ToBack && order.Draw.Known() && !bow.HandleDepth.Known() {
		warn("the draw was ordered to the back: type how deep the handle is, to know the draw at the tree")
	}
	if order.Weight.Known() && !order.Draw.Known() {
		warn("the order has a weight but no draw length: type one")
	}
	if weight, known := order.Weight.Get(); known && order.Allow.Or(0) >= weight/4 {
		warn("the weight may be off by %s either side: that is much for a bow of %s",
			bow.Weigher().WithUnit(order.Allow.Or(0)), bow.Weigher().WithUnit(weight))
	}
	if bow.Length() <= 0 {
		return all
	}
	if bow.Section == model.SectionD {
		all = append(all, thinPlaces(bow)...)
	}
	if short := tooShort(bow); short != "" {
		all = append(all, short)
	}
	return all
}

// tooShort is the warning for a bow that is shorter than its rule allows; "" for none.
func tooShort(bow model.Bow) string {
	length, ruler := bow.Length(), bow.Ruler()
	if bow.Section != "" && bow.Section != model.SectionD {
		const asks = "a target flatbow must be %s; this one is %.0f cm"
		switch {
		case length < shortFlatbow:
			return fmt.Sprintf(asks, "150 cm or more nock to nock", length*2.54)
		case length < longFlatbow:
			return fmt.Sprintf(asks, "160 cm or more nock to nock for men", length*2.54)
		}
		return ""
	}
	draws := DrawsOf(bow)
	arrow, known := draws.Back.Get()
	if !known {
		arrow, known = draws.Trade.Get()
	}
	switch {
	case !known:
	case arrow > arrowLimit && length < longLongbow:
		return fmt.Sprintf("arrows over %s need a target longbow of 5 ft 6 in or more: this one is %s, "+
			"and its arrows %s",
			ruler.WithUnit(arrowLimit), ruler.WithUnit(length), ruler.WithUnit(arrow))
	case length < shortLongbow:
		return "a target longbow must be 5 ft or longer; this one is " + ruler.WithUnit(length)
	}
	return ""
}

// thinPlaces are the stations where width and depth were measured and the depth is under ⅝ of the width.
func thinPlaces(bow model.Bow) []string {
	var all []string
	for _, side := range model.Sides {
		limb := bow.Limbs[side]
		for i, at := range limb.Stations {
			if i >= len(limb.Widths) || i >= len(limb.Depths) {
				break
			}
			width, wide := limb.Widths[i].Get()
			depth, deep := limb.Depths[i].Get()
			if wide && deep && float64(depth) < leastDepthShare*float64(width)-1e-9 {
				all = append(all, fmt.Sprintf("a target longbow must be at least 5/8 as deep as wide: the %s "+
					"limb at %s is %.2f as deep as wide (%s of %s)",
					side, bow.Ruler().WithUnit(at), float64(depth/width), bow.Calliper().Print(depth),
					bow.Calliper().WithUnit(width)))
			}
		}
	}
	return all
}
