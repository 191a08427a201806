package form

import (
	"math"
	"strconv"

	"bendbook/model"
	"bendbook/model/measure"
)

// exactLength writes a length as the rule has it where that says all of it, else as a decimal.
func exactLength(bow model.Bow, l measure.Length) string {
	return exact(bow.Ruler().Print(l), float64(l), l.In(bow.Units.Length), bow.Units.Length != bow.KeptIn().Length, func(text string) (float64, error) {
		l, err := bow.ParseLength(text)
		return float64(l), err
	})
}

// presetLength is exactLength, but a whole number stands without decimals.
func presetLength(bow model.Bow, l measure.Length) string {
	short := bow.Ruler().Short(l)
	if bow.Ruler().Print(l) == exactLength(bow, l) {
		return short
	}
	return exactLength(bow, l)
}

// exactForce writes a force as the scale has it where that says all of it, else as a decimal.
func exactForce(bow model.Bow, f measure.Force) string {
	return exact(bow.Weigher().Print(f), float64(f), f.In(bow.Units.Force), bow.Units.Force != bow.KeptIn().Force, func(text string) (float64, error) {
		f, err := bow.ParseForce(text)
		return float64(f), err
	})
}

// exact is text where that is read back as v, else the number n that v is in the field's unit. In a unit that is not the record's the
// last digits of a number are the conversion's, and are left out where it is read back as v without them.
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
