package model

import (
	"cmp"
	"fmt"
)

const KindRelaxed Kind = "relaxed"

// Relaxed is the unstrung bow: distances from the line, above 0 for set, below for reflex.
type Relaxed struct {
	Readings Readings
	By       ReadBy
}

func (Relaxed) Kind() Kind { return KindRelaxed }

func (e *Relaxed) Fields(c Codec) {
	c.Readings(&e.Readings)
	c.Text("by", (*string)(&e.By))
}

func (e Relaxed) Say(Bow) string { return fmt.Sprintf("relaxed, %s to the line", e.By.say(e.Readings)) }

func (e Relaxed) check(of Bow) error {
	return cmp.Or(of.checkReadings(FromLine, e.Readings), e.By.check())
}
