package model

import "fmt"

const KindRelaxed Kind = "relaxed"

// Relaxed is the unstrung bow: distances from the line, above 0 for set, below for reflex.
type Relaxed struct{ Readings Readings }

func (Relaxed) Kind() Kind { return KindRelaxed }

func (e *Relaxed) Fields(c Codec) { c.Readings(&e.Readings) }

func (e Relaxed) Say(Bow) string { return fmt.Sprintf("relaxed, %s to the line", e.Readings.say()) }

func (e Relaxed) check(of Bow) error { return of.checkReadings(FromLine, e.Readings) }
