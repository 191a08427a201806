package model

import (
	"cmp"
	"fmt"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// Exercise is a number of easy pulls that let the bow settle after scraping.
type Exercise struct {
	Pulls   int
	Draw    measure.Optional[measure.Length] // that they went to
	Minutes measure.Optional[float64]        // that it stood strung
}

func (Exercise) Kind() Kind { return "exercise" }

func (e *Exercise) Fields(c Codec) {
	c.Count("pulls", &e.Pulls)
	c.MaybeLength("draw", &e.Draw)
	c.MaybeNumber("minutes", &e.Minutes)
}

func (e Exercise) Say(of Bow) string {
	said := plain.Plural(e.Pulls, "exercised, %d pull", "exercised, %d pulls", e.Pulls)
	if draw, known := e.Draw.Get(); known {
		said += " to " + of.Ruler().WithUnit(draw)
	}
	if minutes, known := e.Minutes.Get(); known {
		said += fmt.Sprintf(", strung for %g min", minutes)
	}
	return said
}

func (e Exercise) check(of Bow) error {
	if e.Pulls < 0 || e.Pulls > mostPulls {
		return Fault("pulls", "type how many pulls, %d at most", mostPulls)
	}
	return cmp.Or(checkKnown("draw", e.Draw, of.checkDraw), checkMinutes(e.Minutes))
}
