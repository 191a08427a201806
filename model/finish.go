package model

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

const KindFinish Kind = "finish"

// HandedOver is the Finish step with which a bow leaves the shop.
const HandedOver = "handed over"

// Finish is a step after tillering: a coat, a handle, the day it was handed over.
type Finish struct {
	Step string
	Coat measure.Optional[int]
	Grit measure.Optional[int] // of sandpaper
	On   Day                   // the day it was done, where that is not the entry's own
	Text string                // what was stamped, where something was
}

// Time is when the step was done: at, the entry's own time, or the same hour of the day that the step names.
func (f Finish) Time(at time.Time) time.Time {
	day, named := f.On.Time()
	if !named || at.IsZero() {
		return at
	}
	year, month, date := day.Date()
	return time.Date(year, month, date, at.Hour(), at.Minute(), at.Second(), 0, at.Location())
}

func (Finish) Kind() Kind { return KindFinish }

func (f *Finish) Fields(c Codec) {
	c.FullText("step", &f.Step)
	c.MaybeCount("coat", &f.Coat)
	c.MaybeCount("grit", &f.Grit)
	c.Day("on", &f.On)
	c.Text("text", &f.Text)
}

// SayStep describes the step alone, without what was stamped and the day.
func (f Finish) SayStep() string {
	parts := []string{plain.Line(f.Step)}
	if coat, known := f.Coat.Get(); known {
		parts = append(parts, fmt.Sprintf("coat %d", coat))
	}
	if grit, known := f.Grit.Get(); known {
		parts = append(parts, fmt.Sprintf("grit %d", grit))
	}
	return strings.Join(parts, ", ")
}

func (f Finish) Say(Bow) string {
	said := f.SayStep()
	if f.Text != "" {
		said += ": " + plain.Line(f.Text)
	}
	if f.On != "" {
		said += ", on " + plain.Line(string(f.On))
	}
	return said
}

func (f Finish) check(Bow) error {
	if f.Coat.Or(0) < 0 {
		return Fault("coat", "type which coat it is, such as 1")
	}
	if f.Grit.Or(1) < 1 {
		return Fault("grit", "type a sandpaper's grit, such as 120")
	}
	if f.On != "" {
		if day, isDay := f.On.Time(); !isDay || day.Year() < 1970 {
			return Fault("on", "type a day like 2027-02-01")
		}
	}
	return cmp.Or(checkText("text", f.Text, LongestName), checkText("step", f.Step, LongestName))
}
