package model

import (
	"cmp"
	"fmt"
	"math"

	"bendbook/model/measure"
)

// Track is how the string of the braced bow runs, seen from the belly.
type Track struct {
	Offset measure.Length // from the middle of the handle
	Toward string         // left or right; "" where it runs down the middle
	// Twists are how far the tips are turned, in degrees.
	Twists [2]measure.Optional[float64]
}

// Towards are the sides, seen from the belly, that a record may name.
func Towards() []string { return []string{"left", "right"} }

func (Track) Kind() Kind { return "track" }

func (e *Track) Fields(c Codec) {
	c.Length("offset", &e.Offset)
	c.Text("toward", &e.Toward)
	c.MaybeNumber("twist_upper", &e.Twists[Upper])
	c.MaybeNumber("twist_lower", &e.Twists[Lower])
}

func (e Track) Say(of Bow) string {
	said := "the string runs down the middle"
	if e.Offset > 0 {
		said = fmt.Sprintf("the string runs %s %s of the handle's middle", of.Ruler().WithUnit(e.Offset), e.Toward)
	}
	for _, side := range Sides {
		if twist, known := e.Twists[side].Get(); known {
			said += fmt.Sprintf(", %s tip twisted %.0f°", side, twist)
		}
	}
	return said
}

func (e Track) check(of Bow) error {
	if e.Offset > 0 && e.Toward == "" {
		return Fault("toward", "type left or right")
	}
	for _, side := range Sides {
		if !(math.Abs(e.Twists[side].Or(0)) <= 90) {
			return Fault("twist_"+side.String(), "type degrees, 90 at most")
		}
	}
	return cmp.Or(oneOf("toward", e.Toward, Towards()...), of.checkLength("offset", e.Offset, 0, thickestLimb))
}

// A string belongs within the handle's middle third, and no tip twists by more than mostTwist (common
// practice).
const (
	usualHandle measure.Length = 1.1 // its width, where the limbs weren't measured
	mostTwist   float64        = 5   // degrees
)

// Off says whether the string runs outside the handle's middle third, or a tip is twisted too far.
func (e Track) Off(of Bow) bool {
	width := usualHandle
	if widths := of.Limbs[Upper].Widths; len(widths) > 0 {
		width = widths[0].Or(usualHandle)
	}
	twisted := max(math.Abs(e.Twists[Upper].Or(0)), math.Abs(e.Twists[Lower].Or(0)))
	return e.Offset > width/6 || twisted > mostTwist
}
