package model

import "bendbook/model/measure"

// ShownIn is the bow with its figures shown and typed in other units; "" leaves a unit as it is. The record
// is still written in its own units.
func (b Bow) ShownIn(units measure.Units) Bow {
	kept := b.KeptIn()
	if units.Length != "" {
		b.Units.Length = units.Length
	}
	if units.Force != "" {
		b.Units.Force = units.Force
	}
	b.kept = measure.Units{}
	if b.Units != kept {
		b.kept = kept
	}
	return b
}

// KeptIn are the units that the bow's record is written in.
func (b Bow) KeptIn() measure.Units {
	if b.kept != (measure.Units{}) {
		return b.kept
	}
	return b.Units
}

// AsKept is the bow with its figures in its record's units.
func (b Bow) AsKept() Bow { return b.ShownIn(b.KeptIn()) }

// Ruler prints lengths as this bow's rule reads them, or, in a unit that its rule isn't marked in, as a
// common rule of that unit does.
func (b Bow) Ruler() measure.Rule {
	if unit := b.Units.Length; unit != b.KeptIn().Length && !unit.Cut(b.Rule) {
		return measure.Rule{Unit: unit}
	}
	return measure.Rule{Unit: b.Units.Length, Step: b.Rule}
}

// Weigher prints forces as this bow's scale reads them, else as a common scale of that unit does.
func (b Bow) Weigher() measure.Scale {
	if unit := b.Units.Force; unit != b.KeptIn().Force && !unit.Cut(b.Scale) {
		return measure.Scale{Unit: unit}
	}
	return measure.Scale{Unit: b.Units.Force, Step: b.Scale}
}

// ParseLength is [measure.ParseLength] for this bow: a bare number is in the unit that is shown.
func (b Bow) ParseLength(text string) (measure.Length, error) {
	l, err := measure.ParseLength(text, b.Units.Length)
	if kept := b.KeptIn().Length; err == nil && kept != b.Units.Length {
		l = l.Settled(kept, b.Units.Length)
	}
	return l, err
}

// ParseForce is [measure.ParseForce] for this bow: a bare number is in the unit that is shown.
func (b Bow) ParseForce(text string) (measure.Force, error) {
	f, err := measure.ParseForce(text, b.Units.Force)
	if kept := b.KeptIn().Force; err == nil && kept != b.Units.Force {
		f = f.Settled(kept, b.Units.Force)
	}
	return f, err
}
