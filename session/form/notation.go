package form

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
)

// notation is how a value is typed and printed.
type notation[V any] struct {
	parse func(of model.Bow, text string) (V, error)
	print func(of model.Bow, v V) string
	what  quantity
}

// shortLengths are printed as the rule has them, whole ones without fractions; exactLengths lose nothing.
func shortLengths() notation[measure.Length] {
	short := func(of model.Bow, l measure.Length) string { return of.Ruler().Short(l) }
	return notation[measure.Length]{model.Bow.ParseLength, short, aLength}
}

func exactLengths() notation[measure.Length] {
	return notation[measure.Length]{model.Bow.ParseLength, exactLength, aLength}
}

func shortForces() notation[measure.Force] {
	short := func(of model.Bow, f measure.Force) string { return of.Weigher().Short(f) }
	return notation[measure.Force]{model.Bow.ParseForce, short, aForce}
}

// simple is the notation of values that are typed alike on every bow's forms.
func simple[V any](what quantity, parse func(string) (V, error), print func(V) string) notation[V] {
	return notation[V]{
		func(_ model.Bow, text string) (V, error) { return parse(text) },
		func(_ model.Bow, v V) string { return print(v) },
		what,
	}
}

// counts are whole numbers from least to most.
func counts(least, most int) notation[int] {
	return simple(aCount, func(text string) (int, error) {
		n, err := strconv.Atoi(text)
		if err != nil || n < least || n > most {
			return 0, fmt.Errorf("%q is no count; expected a whole number from %d to %d", text, least, most)
		}
		return n, nil
	}, strconv.Itoa)
}

// shares are fractions that are typed in per cent, from 0 to most.
func shares(most float64) notation[float64] {
	return simple(aNumber, func(text string) (float64, error) {
		v, err := parseNumber(strings.TrimSuffix(text, "%"))
		if err != nil || v < 0 || v > most {
			return 0, fmt.Errorf("%q is no share here; expected per cent from 0 to %g", text, most)
		}
		return v / 100, nil
	}, func(v float64) string { return plainNumber(100 * v) })
}

// exactLength writes a length as the rule has it where that says all of it, else as a decimal.
func exactLength(bow model.Bow, l measure.Length) string {
	return exact(bow.Ruler().Print(l), float64(l), l.In(bow.Units.Length),
		bow.Units.Length != bow.KeptIn().Length, func(text string) (float64, error) {
			l, err := bow.ParseLength(text)
			return float64(l), err
		})
}

// presetLength is exactLength, but a whole number stands without decimals.
func presetLength(bow model.Bow, l measure.Length) string {
	if bow.Ruler().Print(l) == exactLength(bow, l) {
		return bow.Ruler().Short(l)
	}
	return exactLength(bow, l)
}

// exactForce writes a force as the scale has it where that says all of it, else as a decimal.
func exactForce(bow model.Bow, f measure.Force) string {
	return exact(bow.Weigher().Print(f), float64(f), f.In(bow.Units.Force),
		bow.Units.Force != bow.KeptIn().Force, func(text string) (float64, error) {
			f, err := bow.ParseForce(text)
			return float64(f), err
		})
}

// exact is text where that is read back as v, else the number n that v is in the field's unit. In a unit
// that is not the record's the last digits of a number are the conversion's, and are left out where it is
// read back as v without them.
func exact(text string, v, n float64, converted bool, parse func(string) (float64, error)) string {
	slack := 0.0
	if converted {
		slack = 1e-11 * math.Abs(v)
	}
	says := func(text string) bool {
		back, err := parse(text)
		return err == nil && math.Abs(back-v) <= slack
	}
	if says(text) {
		return text
	}
	if few, err := strconv.ParseFloat(strconv.FormatFloat(n, 'g', 12, 64), 64); err == nil && converted {
		if text := strconv.FormatFloat(few, 'f', -1, 64); says(text) {
			return text
		}
	}
	return strconv.FormatFloat(n, 'f', -1, 64)
}

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

// exampleStations are stations as they may be typed: at 6, 8 and 12 in the difference between the limbs is
// looked for (common practice).
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

// plainNumber is a number as it is typed, to a thousandth.
func plainNumber(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(v, 'f', 3, 64), "0"), ".")
}
