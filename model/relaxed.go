package model

import (
	"cmp"
	"fmt"

	"bendbook/model/measure"
)

const KindRelaxed Kind = "relaxed"

// Relaxed is the unstrung bow: distances from the line, above 0 for set, below for reflex.
type Relaxed struct {
	Readings Readings
	By       ReadBy
	Minutes  measure.Optional[float64] // since it was unstrung
}

func (Relaxed) Kind() Kind { return KindRelaxed }

func (e *Relaxed) Fields(c Codec) {
	c.Readings(&e.Readings)
	c.Text("by", (*string)(&e.By))
	c.MaybeNumber("minutes", &e.Minutes)
}

func (e Relaxed) Say(Bow) string {
	said := fmt.Sprintf("relaxed, %s to the line", e.By.say(e.Readings))
	if minutes, known := e.Minutes.Get(); known {
		said += fmt.Sprintf(", unstrung for %g min", minutes)
	}
	return said
}

func (e Relaxed) check(of Bow) error {
	return cmp.Or(of.checkReadings(FromLine, e.Readings), e.By.check(), checkMinutes(e.Minutes))
}

// checkMinutes allows up to a month.
func checkMinutes(minutes measure.Optional[float64]) error {
	if m := minutes.Or(0); !(m >= 0 && m <= 31*24*60) {
		return Fault("minutes", "type how many minutes, such as 30")
	}
	return nil
}
