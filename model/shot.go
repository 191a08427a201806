package model

import (
	"fmt"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// Shot is a number of arrows that were shot to let the bow settle: it is shot in.
type Shot struct {
	Arrows int
	Grains measure.Optional[float64]        // that one arrow weighs
	Draw   measure.Optional[measure.Length] // that they were drawn to
}

func (Shot) Kind() Kind { return "shot" }

func (e Shot) Work(Bow) Work {
	return Work{Begins: true, Since: "it was shot", Off: fmt.Sprintf("shot %d", e.Arrows)}
}

func (e *Shot) Fields(c Codec) {
	c.Count("arrows", &e.Arrows)
	c.MaybeNumber("grains", &e.Grains)
	c.MaybeLength("draw", &e.Draw)
}

func (e Shot) Say(of Bow) string {
	said := plain.Plural(e.Arrows, "shot in, %d arrow", "shot in, %d arrows", e.Arrows)
	if grains, known := e.Grains.Get(); known {
		said += fmt.Sprintf(" of %.0f grains", grains)
	}
	if draw, known := e.Draw.Get(); known {
		said += " at " + of.Ruler().WithUnit(draw)
	}
	return said
}

func (e Shot) check(of Bow) error {
	switch grains := e.Grains.Or(1); {
	case e.Arrows < 1 || e.Arrows > mostPulls:
		return Fault("arrows", "type how many arrows, %d at most", mostPulls)
	case !(grains > 0 && grains <= 5000):
		return Fault("grains", "type an arrow's weight in grains, such as 450")
	}
	return checkKnown("draw", e.Draw, of.checkDraw)
}
