// Package measure holds the quantities that a bowyer reads and types: lengths and forces, how they are
// written (6 3/8, 6-3/8, 6.375, 6⅜ and 162mm are one length) and how they are printed in the fractions of a
// rule.
//
// Inside the program a length is always inches and a force always pounds-force; other units exist only where
// text is parsed or printed. The package knows nothing of bows.
package measure

import (
	"encoding/json"
	"strconv"
)

// Length is a length in inches.
type Length float64

// Force is a force in pounds-force.
type Force float64

// In is the length as a number of the given units. A number of up to 15 significant digits comes back exactly
// from u.Length, so that a record in centimetres survives the way through inches.
func (l Length) In(u LengthUnit) float64 { return inUnits(float64(l), u.PerInch()) }

// In is the force as a number of the given units, with the same promise as Length.In.
func (f Force) In(u ForceUnit) float64 { return inUnits(float64(f), u.PerPound()) }

func inUnits(v, perUnit float64) float64 {
	if perUnit == 1 {
		return v
	}
	return significant(v*perUnit, 15)
}

// Settled rounds off what the arithmetic adds when a length typed in one unit is kept in another: 15.24 cm
// becomes 6 in. It leaves the length alone where rounding would change what was typed.
func (l Length) Settled(kept, typed LengthUnit) Length {
	if round := kept.Length(significant(l.In(kept), fewDigits)); round.In(typed) == l.In(typed) {
		return round
	}
	return l
}

// Settled is a force that was typed in one unit, to be kept in another; see [Length.Settled].
func (f Force) Settled(kept, typed ForceUnit) Force {
	if round := kept.Force(significant(f.In(kept), fewDigits)); round.In(typed) == f.In(typed) {
		return round
	}
	return f
}

// fewDigits are more than any hand reads, and fewer than a conversion leaves.
const fewDigits = 11

// significant rounds v to n significant decimal digits.
func significant(v float64, n int) float64 {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'e', n-1, 64), 64) // reads what was just printed
	return v
}

// Optional is a value that may not have been read. The zero value is an unread one.
type Optional[T any] struct {
	value T
	known bool
}

// Some is a value that was read.
func Some[T any](v T) Optional[T] { return Optional[T]{value: v, known: true} }

// Get returns the value and whether it was read at all.
func (o Optional[T]) Get() (T, bool) { return o.value, o.known }

// Known says whether the value was read.
func (o Optional[T]) Known() bool { return o.known }

// Or is the value, or other where it was not read.
func (o Optional[T]) Or(other T) T {
	if o.known {
		return o.value
	}
	return other
}

// MarshalJSON writes the value, or null where it was not read.
func (o Optional[T]) MarshalJSON() ([]byte, error) {
	if !o.known {
		return []byte("null"), nil
	}
	return json.Marshal(o.value)
}

// UnmarshalJSON reads what MarshalJSON writes.
func (o *Optional[T]) UnmarshalJSON(doc []byte) error {
	if string(doc) == "null" {
		*o = Optional[T]{}
		return nil
	}
	o.known = true
	return json.Unmarshal(doc, &o.value)
}
