package model

import (
	"fmt"
	"slices"

	"bendbook/model/measure"
)

// Shorten is a length off the limbs at their nocks, or as much nearer to the handle that new ones were cut.
type Shorten struct {
	Upper, Lower measure.Optional[measure.Length]
}

func (Shorten) Kind() Kind { return "shorten" }

func (e Shorten) Work(of Bow) Work {
	off := of.Ruler().Short(max(e.Off()[Upper], e.Off()[Lower]))
	return Work{Begins: true, Tiller: true, Moves: true, Since: "wood came off", Off: "shortened " + off}
}

func (e *Shorten) Fields(c Codec) {
	c.MaybeLength("off_upper", &e.Upper)
	c.MaybeLength("off_lower", &e.Lower)
}

// Off is what came off each limb, by Side.
func (e Shorten) Off() [2]measure.Length { return [2]measure.Length{e.Upper.Or(0), e.Lower.Or(0)} }

func (e Shorten) Say(of Bow) string {
	rule, off := of.Ruler(), e.Off()
	if off[Upper] == off[Lower] {
		return fmt.Sprintf("shortened by %s at each nock", rule.WithUnit(off[Upper]))
	}
	return fmt.Sprintf("shortened by %s at the upper nock, %s at the lower",
		rule.WithUnit(off[Upper]), rule.WithUnit(off[Lower]))
}

// mostShortened is the share of a limb that comes off at once at most: a bound against typing errors.
const mostShortened = 0.25

func (e Shorten) check(of Bow) error {
	for side, off := range e.Off() {
		if limb := of.Limbs[side].Length; !(off >= 0 && off <= mostShortened*limb) {
			return Fault("off_"+Side(side).String(), "type what came off, %s at most",
				of.withUnit(mostShortened*limb))
		}
	}
	if e.Off() == [2]measure.Length{} {
		return Fault("off_upper", "type what came off at one nock or both")
	}
	return nil
}

// Of is limbs as they are after it: stations stay where they are, and those beyond the nock are gone.
func (e Shorten) Of(limbs [2]Limb) [2]Limb {
	for side, off := range e.Off() {
		l := &limbs[side]
		l.Length -= off
		n := len(l.Stations)
		for off > 0 && n > 0 && l.Stations[n-1] > l.Length {
			n--
		}
		l.Stations = slices.Clip(l.Stations[:n])
		l.Widths, l.Depths = l.Widths[:min(n, len(l.Widths))], l.Depths[:min(n, len(l.Depths))]
	}
	return limbs
}
