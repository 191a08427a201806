package form

import (
	"fmt"

	"bendbook/model/measure"
)

// exampleLength is a length as somebody who works in the unit would name it: 28 in is 71 cm.
func exampleLength(unit measure.LengthUnit, l measure.Length) string {
	if unit == measure.Inch {
		return measure.Rule{Unit: unit}.Print(l)
	}
	step := 1.0 // cm
	switch {
	case l < 1:
		step = 0.1
	case l < 4:
		step = 0.5
	}
	return measure.Rule{Unit: unit, Step: measure.Centimetre.Length(step)}.Short(l)
}

// exampleDepth is what a scraper takes: a hundredth of an inch, or some tenths of a millimetre.
func exampleDepth(unit measure.LengthUnit) string {
	step := measure.Length(0.01)
	if unit != measure.Inch {
		step = measure.Millimetre.Length(0.1)
	}
	return measure.Rule{Unit: unit, Step: step}.Print(0.01)
}

// exampleStations are stations as they may be typed: at 6, 8 and 12 in the difference between the limbs is looked for
// (common practice).
func exampleStations(unit measure.LengthUnit) string {
	in := func(l measure.Length) string { return exampleLength(unit, l) }
	return fmt.Sprintf("%s, %s, %s or every %s", in(6), in(8), in(12), in(4))
}

// exampleForce is a force as somebody who works in the unit would name it: 40 lb is 18 kg.
func exampleForce(unit measure.ForceUnit, f measure.Force) string {
	step := 1.0
	if unit == measure.Newton {
		step = 10
	}
	return measure.Scale{Unit: unit, Step: unit.Force(step)}.Print(f)
}
