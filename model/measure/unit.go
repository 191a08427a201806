package measure

import (
	"fmt"
	"math"
	"slices"
)

// LengthUnit is a unit in which a length may be written, by its name in a record.
type LengthUnit string

// The units of length.
const (
	Inch       LengthUnit = "in"
	Centimetre LengthUnit = "cm"
	Millimetre LengthUnit = "mm"
)

// ForceUnit is a unit in which a force may be written, by its name in a record.
type ForceUnit string

// The units of force.
const (
	PoundForce    ForceUnit = "lbf"
	KilogramForce ForceUnit = "kgf"
	Newton        ForceUnit = "N"
)

// Exact conversion factors: NIST Special Publication 811, appendix B (from memory).
const (
	centimetresPerInch = 2.54
	millimetresPerInch = 25.4
	newtonsPerPound    = 4.4482216152605
	newtonsPerKilogram = 9.80665
)

// PerInch is the number of these units in one inch, 0 for one that is not known.
func (u LengthUnit) PerInch() float64 {
	switch u {
	case Inch:
		return 1
	case Centimetre:
		return centimetresPerInch
	case Millimetre:
		return millimetresPerInch
	}
	return 0
}

// PerPound is the number of these units in one pound-force, 0 for one that is not known.
func (u ForceUnit) PerPound() float64 {
	switch u {
	case PoundForce:
		return 1
	case KilogramForce:
		return newtonsPerPound / newtonsPerKilogram
	case Newton:
		return newtonsPerPound
	}
	return 0
}

// Symbol is the unit as a bowyer writes it behind a weight: lb, kg or N.
func (u ForceUnit) Symbol() string {
	switch u {
	case PoundForce:
		return "lb"
	case KilogramForce:
		return "kg"
	}
	return string(u)
}

// Length is v of these units as a Length.
func (u LengthUnit) Length(v float64) Length { return Length(v / u.PerInch()) }

// Force is v of these units as a Force.
func (u ForceUnit) Force(v float64) Force { return Force(v / u.PerPound()) }

// Cut says whether a rule has such a step: 1, 2, 2½ or 5 of a power of ten, or inches halved.
func (u LengthUnit) Cut(step Length) bool {
	v := step.In(u)
	return roundStep(v) || u == Inch && v > 0 && v <= 1 && isPowerOfTwo(1/v)
}

// Cut says whether a scale in this unit has such a step: 1, 2, 2½ or 5 of a power of ten.
func (u ForceUnit) Cut(step Force) bool { return roundStep(step.In(u)) }

func isPowerOfTwo(d float64) bool {
	n := math.Round(d)
	return math.Abs(d-n) < 1e-6 && int64(n)&(int64(n)-1) == 0
}

func roundStep(v float64) bool {
	if !(v > 0) {
		return false
	}
	v /= math.Pow(10, math.Floor(math.Log10(v)+1e-9))
	near := func(step float64) bool { return math.Abs(v-step) < 1e-6 }
	return slices.ContainsFunc([]float64{1, 2, 2.5, 5}, near)
}

// Units are the units in which a bow's record is written and its figures are shown.
type Units struct {
	Length LengthUnit `json:"length"`
	Force  ForceUnit  `json:"force"`
}

// Imperial is inches and pounds-force, the trade's usual units and the default.
func Imperial() Units { return Units{Length: Inch, Force: PoundForce} }

// Check says whether the unit is known.
func (u LengthUnit) Check() error {
	if u.PerInch() == 0 {
		return fmt.Errorf("%.20q isn't a unit of length here: write in, cm or mm", string(u))
	}
	return nil
}

// Check says whether the unit is known.
func (u ForceUnit) Check() error {
	if u.PerPound() == 0 {
		return fmt.Errorf("%.20q isn't a unit of force here: write lbf, kgf or N", string(u))
	}
	return nil
}
