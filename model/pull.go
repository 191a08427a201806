package model

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"bendbook/model/measure"
)

const KindPull Kind = "pull"

// Pull is one draw by rope and pulley.
type Pull struct {
	Draw     measure.Length                  // of the hook from the belly line
	Peak     measure.Optional[measure.Force] // as the scale showed it
	Held     measure.Optional[time.Duration] // how long the bow stood drawn, by the clock
	From     Datum
	Readings Readings
	By       ReadBy `json:",omitempty"`
	// String is what it hung on, StringLength its length between the nocks, where that was typed with the pull.
	String       OnString
	StringLength measure.Optional[measure.Length]
}

func (Pull) Kind() Kind { return KindPull }

func (e *Pull) Fields(c Codec) {
	c.Length("draw", &e.Draw)
	c.MaybeForce("peak", &e.Peak)
	c.MaybeSeconds("held", &e.Held)
	c.Text("on", (*string)(&e.String))
	c.MaybeLength("string", &e.StringLength)
	c.Datum(&e.From, FromLine)
	c.Readings(&e.Readings)
	c.Text("by", (*string)(&e.By))
}

func (e Pull) Say(of Bow) string {
	parts := []string{fmt.Sprintf("pull to %s", of.Ruler().WithUnit(e.Draw))}
	if peak, known := e.Peak.Get(); known {
		parts[0] += ": " + of.Weigher().WithUnit(peak) + of.Rig.OnItsScale()
	}
	on := ""
	if e.String == LongString {
		on = "on the long string"
	}
	if length, known := e.StringLength.Get(); known {
		on = cmp.Or(on, "on a string") + " of " + of.Ruler().WithUnit(length)
	}
	if on != "" {
		parts = append(parts, on)
	}
	if held, known := e.Held.Get(); known {
		parts = append(parts, fmt.Sprintf("held %s s", measure.PrintSeconds(held)))
	}
	if e.Readings.Any() {
		parts = append(parts, fmt.Sprintf("%s to the %s", e.By.say(e.Readings), e.From))
	}
	return strings.Join(parts, ", ")
}

func (e Pull) check(of Bow) error {
	if e.String != "" && e.String != LongString && e.String != BracedString {
		return Fault("on", "choose %s or %s", LongString, BracedString)
	}
	if length, known := e.StringLength.Get(); known {
		if err := of.checkString("string", length); err != nil {
			return err
		}
	}
	return cmp.Or(
		checkKnown("draw", measure.Some(e.Draw), of.checkDraw),
		checkKnown("peak", e.Peak, of.checkWeight),
		checkKnown("held", e.Held, CheckHeld),
		of.checkReadings(e.From, e.Readings), e.By.check(),
	)
}

// CheckHeld reports why a bow can't have stood drawn so long.
func CheckHeld(held time.Duration) error {
	if held <= 0 || held > longestHeld {
		return fmt.Errorf("the time held is above 0 and within %.0f s", longestHeld.Seconds())
	}
	return nil
}
