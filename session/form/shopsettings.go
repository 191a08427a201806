package form

import (
	"fmt"
	"strconv"
	"strings"

	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
)

// Where the usual settings come from.
const (
	fromTrade    = "common practice in the trade"
	fromTerminal = "the terminal and its locale say"
	fromProgram  = "Bendbook's own"
)

const groupUnits = "units"

// named is a value of a setting under the name that it is chosen by.
type namedValue[T comparable] struct {
	name  string
	value T
}

var (
	lengthNames = []namedValue[measure.LengthUnit]{{"inches", measure.Inch}, {"centimetres", measure.Centimetre}, {"millimetres", measure.Millimetre}}
	forceNames  = []namedValue[measure.ForceUnit]{{"pounds", measure.PoundForce}, {"kilograms", measure.KilogramForce}, {"newtons", measure.Newton}}
	dateNames   = []namedValue[date.Order]{{"as the terminal", ""}, {"day month year", date.DayFirst}, {"month day year", date.MonthFirst}, {"year-month-day", date.ISO}}
	letterNames = []namedValue[finish.Letters]{{"as the terminal", finish.LettersAsTerminal}, {"ASCII", finish.LettersASCII}}
	colourNames = []namedValue[finish.Colours]{{"as the terminal", finish.ColoursAsTerminal}, {"16", finish.Colours16}, {"none", finish.ColoursNone}}
	roundNames  = []namedValue[finish.Rounding]{{"down", finish.RoundDown}, {"nearest", finish.RoundNearest}, {"up", finish.RoundUp}}
	yesNames    = []namedValue[bool]{{"no", false}, {"yes", true}}
)

func namesOf[T comparable](values []namedValue[T]) []string {
	names := make([]string, len(values))
	for i, v := range values {
		names[i] = v.name
	}
	return names
}

func nameFor[T comparable](values []namedValue[T], value T) string {
	for _, v := range values {
		if v.value == value {
			return v.name
		}
	}
	return ""
}

func valueFor[T comparable](values []namedValue[T], text string) (value T, err error) {
	names := namesOf(values)
	if found, ok := choose(names, text); ok {
		text = found
	}
	for _, v := range values {
		if v.name == text {
			return v.value, nil
		}
	}
	return value, fmt.Errorf("%s", expected(names, text))
}

// choosing makes a setting that is chosen among named values.
func choosing[T comparable](c choice, values []namedValue[T], at func(*finish.Settings) *T) choice {
	c.question.Choices, c.question.Must, c.question.Hint = namesOf(values), true, list(namesOf(values))
	c.print = func(s finish.Settings) string { return nameFor(values, *at(&s)) }
	c.set = func(s *finish.Settings, text string) error {
		v, err := valueFor(values, text)
		if err == nil {
			*at(s) = v
		}
		return err
	}
	return c
}

// asDescribed stands for the unit of each bow's own description.
const asDescribed = "as described"

// choosingUnit makes a setting of a unit, the usual one first among the values; at gives the unit and whether that holds for every bow although it
// is the usual one.
func choosingUnit[U comparable](c choice, values []namedValue[U], at func(*finish.Settings) (unit *U, every *bool)) choice {
	usual := values[0].value
	names := append(namesOf(values), asDescribed)
	c.question.Choices, c.question.Must, c.question.Hint = names, true, list(names)
	c.print = func(s finish.Settings) string {
		if unit, every := at(&s); *every || *unit != usual {
			return nameFor(values, *unit)
		}
		return asDescribed
	}
	c.set = func(s *finish.Settings, text string) error {
		unit, every := at(s)
		if found, ok := choose(names, text); ok && found == asDescribed {
			*unit, *every = usual, false
			return nil
		}
		v, err := valueFor(values, text)
		if err == nil {
			*unit, *every = v, v == usual
		}
		return err
	}
	return c
}

func texting(c choice, hint string, at func(*finish.Settings) *string) choice {
	c.question.Hint = hint
	c.print = func(s finish.Settings) string { return *at(&s) }
	c.set = func(s *finish.Settings, text string) error { *at(s) = text; return nil }
	return c
}

func numbering[T int | float64](c choice, hint string, at func(*finish.Settings) *T) choice {
	c.question.Hint, c.question.Must = hint, true
	c.print = func(s finish.Settings) string { return strconv.FormatFloat(float64(*at(&s)), 'f', -1, 64) }
	c.set = func(s *finish.Settings, text string) error {
		v, err := parseNumber(text)
		if err == nil && float64(T(v)) != v {
			err = fmt.Errorf("%q is no whole number", text)
		}
		*at(s) = T(v)
		return err
	}
	return c
}

func weighing(c choice, units measure.Units, at func(*finish.Settings) *measure.Force) choice {
	c.question.Hint, c.question.Must, c.question.Unit = fmt.Sprintf("a weight, such as %s or 1lb; 0 for nothing", exampleWeight(units.Force)), true, units.Force.Symbol()
	c.print = func(s finish.Settings) string { return plainNumber(at(&s).In(s.Units.Force)) }
	c.set = func(s *finish.Settings, text string) (err error) {
		*at(s), err = measure.ParseForce(text, s.Units.Force)
		return err
	}
	return c
}

// exampleWeight is about a pound.
func exampleWeight(unit measure.ForceUnit) string {
	return map[measure.ForceUnit]string{measure.PoundForce: "1.5", measure.KilogramForce: "0.5", measure.Newton: "5"}[unit]
}

// plainNumber is a number as it is typed, to a thousandth.
func plainNumber(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(v, 'f', 3, 64), "0"), ".")
}

// ofShop are the settings that one question each asks for.
func ofShop(s finish.Settings) []choice {
	units := s.Units
	arrow := choice{group: "order", label: "arrow limit", source: "a coach's manual; national rules differ",
		means:    "Up to this arrow's length a target longbow may be 5 ft long; for longer arrows it must be 5 ft 6 in. An order that breaks it is warned of.",
		question: Question{Must: true, Unit: string(units.Length), Hint: fmt.Sprintf("an arrow's length, such as %s", exampleLength(units.Length, 26))},
		print:    func(s finish.Settings) string { return plainNumber(s.ArrowLimit.In(s.Units.Length)) },
		set: func(s *finish.Settings, text string) (err error) {
			s.ArrowLimit, err = measure.ParseLength(text, s.Units.Length)
			return err
		},
	}
	hold := choice{group: "tree", label: "hold", source: fromTrade,
		means:    "After how many seconds at a draw the hold clock says to let down: longer sets the wood.",
		question: Question{Must: true, Unit: "s", Hint: "seconds, such as 5"},
		print:    func(s finish.Settings) string { return plainNumber(s.Hold.Seconds()) },
		set: func(s *finish.Settings, text string) error {
			v, err := parseNumber(strings.TrimSuffix(text, "s"))
			if err != nil {
				return err
			}
			hold, ok := measure.Seconds(v)
			if !ok {
				return fmt.Errorf("%q is no time to hold a bow", text)
			}
			s.Hold = hold
			return nil
		},
	}
	return []choice{
		choosingUnit(choice{group: groupUnits, label: "lengths", source: fromTrade,
			means: "The unit in which every bow is shown and typed, whatever its record is kept in. As described: each bow in that of its description, and new bows, lists and these settings in inches. Any field takes 162mm or 6 3/8in."},
			lengthNames, func(s *finish.Settings) (*measure.LengthUnit, *bool) { return &s.Units.Length, &s.Every.Length }),
		choosingUnit(choice{group: groupUnits, label: "weights", source: fromTrade,
			means: "The unit of draw weights, for every bow. As described: each bow in that of its description, the rest in pounds. Any field takes 40lb or 18kg."},
			forceNames, func(s *finish.Settings) (*measure.ForceUnit, *bool) { return &s.Units.Force, &s.Every.Force }),
		choosing(choice{group: groupUnits, label: "dates", source: fromTerminal,
			means: "How days are written. Months stand in letters, so that none is taken for a day; 2027-02-01 can be typed in any order."},
			dateNames, func(s *finish.Settings) *date.Order { return &s.Dates }),
		choosing(choice{group: "screen", label: "letters", source: fromTerminal,
			means: "What screens are drawn with. ASCII is for terminals that have no lines and fractions, and comes by itself where the locale is not UTF-8."},
			letterNames, func(s *finish.Settings) *finish.Letters { return &s.Screen.Letters }),
		choosing(choice{group: "screen", label: "colours", source: fromTerminal,
			means: "How many colours screens use. NO_COLOR in the environment leaves all out in any case."},
			colourNames, func(s *finish.Settings) *finish.Colours { return &s.Screen.Colours }),
		texting(choice{group: "mark", label: "text", source: fromTrade,
			means: "What is stamped on a bow. {weight}, {force}, {draw}, {length} and {number} are filled in; weight and draw must be in it."},
			"such as {weight} {force} @ {draw} {length} {number}", func(s *finish.Settings) *string { return &s.Mark.Text }),
		choosing(choice{group: "mark", label: "rounding", source: fromTrade,
			means: "How the stamped weight is rounded. Down, so that no bow is stamped heavier than it is."},
			roundNames, func(s *finish.Settings) *finish.Rounding { return &s.Mark.Round }),
		numbering(choice{group: "mark", label: "rounded to", source: fromTrade,
			means: "The step that the stamped weight is rounded to, in the unit in which the bow is shown."},
			"such as 1 or 0.5", func(s *finish.Settings) *float64 { return &s.Mark.Step }),
		texting(choice{group: "number", label: "pattern", source: fromProgram,
			means: "How new numbers are made: {year}, {yy}, {month}, {day} of the day, {count}, and {letters}, four of chance, which keep two books from giving the same number."},
			"such as {yy}{month}{day}-{count}-{letters}, or {count:3} to pad", func(s *finish.Settings) *string { return &s.Number.Pattern }),
		numbering(choice{group: "number", label: "first count", source: fromProgram,
			means: "The count that the shop's first number gets; it goes on from the highest that was given."},
			"a whole number, such as 1 or 348", func(s *finish.Settings) *int { return &s.Number.Start }),
		choosing(choice{group: "number", label: "one book only", source: fromProgram,
			means: "Yes where no other book ever gives numbers for the same maker; the pattern may then do without {letters}."},
			yesNames, func(s *finish.Settings) *bool { return &s.Number.Alone }),
		weighing(choice{group: "allowances", label: "finishing takes", source: fmt.Sprintf("%s: about a pound", fromTrade),
			means: "What finishing takes off the draw weight, until the shop's own bows tell better."},
			units, func(s *finish.Settings) *measure.Force { return &s.Sanding }),
		weighing(choice{group: "allowances", label: "first use takes", source: fmt.Sprintf("%s: about a pound", fromTrade),
			means: "What the first weeks of use take off the draw weight, until the shop's own bows tell better."},
			units, func(s *finish.Settings) *measure.Force { return &s.Settling }),
		arrow,
		hold,
		texting(choice{group: "card", label: "maker", source: "nothing",
			means: "The maker's mark or name on the card that goes with a bow."},
			"a mark or a name of your choice", func(s *finish.Settings) *string { return &s.Card.Maker }),
	}
}
