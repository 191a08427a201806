package form

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
)

type (
	maybeLength = measure.Optional[measure.Length]
	maybeForce  = measure.Optional[measure.Force]
)

// quantity says what a question asks for, and so which units its answer may have.
type quantity int

const (
	noQuantity quantity = iota // words
	aLength                    // by the rule
	thin                       // a length by a calliper or a gauge
	aRow                       // of lengths, as parseStations reads them
	aForce
	aCount
	aNumber
)

// carried rewrites a text that was typed in some units so that it means the same in a field with others.
func carried(text string, what quantity, from, to measure.Units) string {
	bare := func(value float64, err error) bool { return err == nil && value != 0 }
	switch what {
	case aLength, thin:
		l, err := measure.ParseLength(text, from.Length)
		if from.Length != to.Length && bare(float64(l), err) && measure.LengthNamed(text) == "" {
			return strings.TrimSpace(text) + string(from.Length)
		}
	case aForce:
		f, err := measure.ParseForce(text, from.Force)
		if from.Force != to.Force && bare(float64(f), err) && measure.ForceNamed(text) == "" {
			return strings.TrimSpace(text) + from.Force.Symbol()
		}
	case aRow:
		if from.Length == to.Length {
			return text
		}
		if step, isEvery := everyStep(text); isEvery {
			return "every " + carried(step, aLength, from, to)
		}
		words := stationWords(text)
		for i, word := range words {
			words[i] = carried(word, aLength, from, to)
		}
		return strings.Join(words, ", ")
	}
	return text
}

// notation says how a value is typed and printed.
type notation[V any] struct {
	parse func(of model.Bow, text string) (V, error)
	print func(of model.Bow, v V) string
	what  quantity
}

// read parses an answer; "" is an unread value.
func (n notation[V]) read(of model.Bow, text string) (v measure.Optional[V], err error) {
	if text == "" {
		return v, nil
	}
	known, err := n.parse(of, text)
	if err != nil {
		return v, err
	}
	return measure.Some(known), nil
}

func (n notation[V]) say(of model.Bow, v measure.Optional[V]) string {
	return optional(v, func(known V) string { return n.print(of, known) })
}

func optional[T any](v measure.Optional[T], say func(T) string) string {
	if value, known := v.Get(); known {
		return say(value)
	}
	return ""
}

// shortLengths are printed as the rule has them, whole ones without fractions.
func shortLengths() notation[measure.Length] {
	short := func(of model.Bow, l measure.Length) string { return of.Ruler().Short(l) }
	return notation[measure.Length]{model.Bow.ParseLength, short, aLength}
}

// mostFigures is the longest value that anybody types. What a conversion makes longer is printed by the rule:
// a field that stays as it was filled in keeps its value all the same.
const mostFigures = len("1234.56")

// short prints an exact text, or the rule's own where a conversion makes that long.
func short(exact, ruled string, converted bool) string {
	if converted && len(exact) > mostFigures {
		return ruled
	}
	return exact
}

// exactLengths lose nothing when they are printed.
func exactLengths() notation[measure.Length] {
	print := func(of model.Bow, l measure.Length) string {
		return short(exactLength(of, l), of.Ruler().Print(l), of.Units.Length != of.KeptIn().Length)
	}
	return notation[measure.Length]{model.Bow.ParseLength, print, aLength}
}

func shortForces() notation[measure.Force] {
	short := func(of model.Bow, f measure.Force) string { return of.Weigher().Short(f) }
	return notation[measure.Force]{model.Bow.ParseForce, short, aForce}
}

func exactForces() notation[measure.Force] {
	print := func(of model.Bow, f measure.Force) string {
		converted, ruled := of.Units.Force != of.KeptIn().Force, of.Weigher().Print(f)
		return short(exact(of, ruled, f, f.In(of.Units.Force), converted, model.Bow.ParseForce), ruled, converted)
	}
	return notation[measure.Force]{model.Bow.ParseForce, print, aForce}
}

// simple is for values that need no bow to be read or printed.
func simple[V any](what quantity, parse func(string) (V, error), print func(V) string) notation[V] {
	return notation[V]{
		func(_ model.Bow, text string) (V, error) { return parse(text) },
		func(_ model.Bow, v V) string { return print(v) },
		what,
	}
}

func counts(least int) notation[int] {
	const most = 100_000
	return simple(aCount, func(text string) (int, error) {
		n, err := strconv.Atoi(text)
		if err != nil || n < least || n > most {
			return 0, fmt.Errorf("%q isn't a whole number from %d to %d", text, least, most)
		}
		return n, nil
	}, strconv.Itoa)
}

// shares are fractions that are typed in per cent, from 0 to most.
func shares(most float64) notation[float64] {
	return simple(aNumber, func(text string) (float64, error) {
		v, err := parseNumber(strings.TrimSuffix(text, "%"))
		if err != nil || v < 0 || v > most {
			return 0, fmt.Errorf("%q isn't a percentage from 0 to %g", text, most)
		}
		return v / 100, nil
	}, func(v float64) string { return plainNumber(100 * v) })
}

// warmths are temperatures in °C that are typed with C or F, or in the usual unit.
func warmths(usual string) notation[float64] {
	return simple(aNumber, func(text string) (float64, error) {
		number, unit := strings.ToUpper(strings.ReplaceAll(text, "°", "")), usual
		for _, u := range []string{"C", "F"} {
			if rest, found := strings.CutSuffix(number, u); found {
				number, unit = rest, u
			}
		}
		v, err := parseNumber(number)
		if unit == "F" {
			v = (v - 32) / 1.8
		}
		if err != nil || v < -20 || v > 60 {
			return 0, fmt.Errorf("%q isn't a shop's temperature. Type one like 20C or 68F", text)
		}
		// To a hundredth: what a thermometer says, not what the conversion adds.
		return math.Round(100*v) / 100, nil
	}, func(v float64) string {
		if usual == "F" {
			v = 1.8*v + 32
		}
		return plainNumber(math.Round(10*v) / 10)
	})
}

func parseNumber(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(text), ",", ".", 1), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q isn't a number", text)
	}
	return v, nil
}

// plainNumber prints a number as it is typed, to a thousandth.
func plainNumber(v float64) string {
	text := strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(v, 'f', 3, 64), "0"), ".")
	if text == "-0" {
		return "0"
	}
	return text
}

// exactLength prints a length as the rule has it where that says all of it, else as a decimal.
func exactLength(of model.Bow, l measure.Length) string { return lengthAs(of, of.Ruler().Print(l), l) }

func lengthAs(of model.Bow, text string, l measure.Length) string {
	return exact(of, text, l, l.In(of.Units.Length), of.Units.Length != of.KeptIn().Length,
		model.Bow.ParseLength)
}

// exact returns text where that parses to v, else n, which is v in the field's unit. In another unit than the
// record's the last digits come from the conversion: they are dropped where n still parses to v.
func exact[V ~float64](of model.Bow, text string, v V, n float64, converted bool,
	parse func(model.Bow, string) (V, error)) string {
	slack := 0.0
	if converted {
		slack = 1e-11 * math.Abs(float64(v))
	}
	says := func(text string) bool {
		back, err := parse(of, text)
		return err == nil && math.Abs(float64(back-v)) <= slack
	}
	if says(text) {
		return text
	}
	if few := digits(n, 12); converted && says(few) {
		return few
	}
	return strconv.FormatFloat(n, 'f', -1, 64)
}

// digits prints a number to so many significant digits, without an exponent.
func digits(v float64, n int) string {
	few, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', n, 64), 64)
	return strconv.FormatFloat(few, 'f', -1, 64)
}

var example = regexp.MustCompile(`\{[^}]+\}`)

// examples writes the lengths and weights of a text, such as {28in} or {40lb}, as somebody who works in the
// units would name them: 71 cm, 18 kg.
func examples(in measure.Units, text string) string {
	return example.ReplaceAllStringFunc(text, func(braced string) string {
		text := strings.Trim(braced, "{}")
		if l, err := measure.ParseLength(text, measure.Inch); err == nil {
			return exampleLength(in.Length, l)
		}
		f, err := measure.ParseForce(text, measure.PoundForce)
		if err != nil {
			return braced
		}
		step := 1.0
		if in.Force == measure.Newton {
			step = 10
		}
		return measure.Scale{Unit: in.Force, Step: in.Force.Force(step)}.Print(f)
	})
}

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

// exampleStations are where the difference between the limbs is looked for: 6, 8 and 12 in (common practice).
const exampleStations = "{6in}, {8in}, {12in} or every {4in}"

// steps print a tool's finest step, where 0 is not known. One converted from the record's unit is seldom
// round: it gets three digits.
func steps[V ~float64](n notation[V], converted bool, in func(V) float64) notation[V] {
	short := n.print
	if n.what == aLength {
		n.what = thin // it says itself what the denominator is
	}
	n.print = func(bow model.Bow, step V) string {
		switch {
		case step <= 0:
			return ""
		case converted:
			return digits(in(step), 3)
		}
		return short(bow, step)
	}
	return n
}
