package finish

import (
	"cmp"
	"slices"
	"strings"

	"bendbook/model/date"
	"bendbook/model/measure"
)

// Setting is one row of a shop's settings: what it is, and the fields that change it.
type Setting struct {
	Group, Label string
	Source       string // where comes from what it is to begin with
	Means        string // what it is
	Fields       []Field[Settings]
	Stage        int // index of the stage that it is; -1 for another
}

// Where the usual settings come from.
const (
	fromTrade    = "common practice in the trade"
	fromPound    = fromTrade + ": about a pound"
	fromTerminal = "the terminal and its locale say"
	fromProgram  = "Bendbook's own"
)

const groupUnits = "units"

// Table are all settings in the order in which they are shown.
func (s Settings) Table() []Setting {
	all := s.practice()
	for i, stage := range s.Stages {
		all = append(all, Setting{"stages", stage.Name, fromTrade, stageMeans, stageFields(i), i})
	}
	return all
}

// row is a setting that is no stage.
func row(group, label, source, means string, fields ...Field[Settings]) Setting {
	if len(fields) == 1 {
		fields[0].Label, fields[0].Must = label, fields[0].Path != "card.maker"
	}
	return Setting{group, label, source, means, fields, -1}
}

func (s Settings) practice() []Setting {
	return []Setting{
		row(groupUnits, "lengths", fromTrade, unitMeans, lengthUnit()),
		row(groupUnits, "weights", fromTrade, "The unit of draw weights, for every bow. As described: each bow in that of its "+
			"description, the rest in pounds. Any field takes 40lb or 18kg.", forceUnit()),
		row(groupUnits, "dates", fromTerminal, "How days are written. Months stand in letters, so that none is taken for a day; "+
			"2027-02-01 can be typed in any order.",
			chooseAt("dates", dateOrders(), func(s *Settings) *date.Order { return &s.Dates })),
		row("screen", "letters", fromTerminal, "What screens are drawn with. ASCII is for terminals that have no lines and "+
			"fractions, and comes by itself where the locale is not UTF-8.",
			chooseAt("screen.letters", letters(), func(s *Settings) *Letters { return &s.Screen.Letters })),
		row("screen", "colours", fromTerminal, "How many colours screens use. NO_COLOR in the environment leaves all out in any case.",
			chooseAt("screen.colours", colours(), func(s *Settings) *Colours { return &s.Screen.Colours })),
		row("mark", "text", fromTrade, "What is stamped on a bow. {weight}, {force}, {draw}, {length} and {number} are filled in; "+
			"weight and draw must be in it.", text("mark.text", "such as {weight} {force} @ {draw} {length} {number}",
			func(s *Settings) *string { return &s.Mark.Text }, wantMark)),
		row("mark", "rounding", fromTrade, "How the stamped weight is rounded. Down, so that no bow is stamped heavier than it is.",
			chooseAt("mark.round", roundings(), func(s *Settings) *Rounding { return &s.Mark.Round })),
		row("mark", "rounded to", fromTrade, "The step that the stamped weight is rounded to, in the unit in which the bow is shown.",
			number("mark.to", "such as 1 or 0.5", func(s *Settings) *float64 { return &s.Mark.Step }, 0.01, 20,
				"expected the step that the weight is rounded to, from 0.01 to 20 of the bow's unit")),
		row("number", "pattern", fromProgram, "How new numbers are made: {year}, {yy}, {month}, {day} of the day, {count}, and "+
			"{letters}, four of chance, which keep two books from giving the same number.",
			text("number", "such as {yy}{month}{day}-{count}-{letters}, or {count:3} to pad",
				func(s *Settings) *string { return &s.Number.Pattern }, func(string) string { return s.Number.want() })),
		row("number", "first count", fromProgram, "The count that the shop's first number gets; it goes on from the highest that "+
			"was given.", number("number.start", "a whole number, such as 1 or 348",
			func(s *Settings) *int { return &s.Number.Start }, 1, highestCount, "expected a count")),
		row("number", "one book only", fromProgram, "Yes where no other book ever gives numbers for the same maker; "+
			"the pattern may then do without {letters}.",
			chooseAt("number.alone", yesOrNo(), func(s *Settings) *bool { return &s.Number.Alone })),
		row("allowances", "finishing takes", fromPound, "What finishing takes off the draw weight, "+untilLearnt,
			weight("allowances.sanding", s.Units.Force, func(s *Settings) *measure.Force { return &s.Allowances.Sanding })),
		row("allowances", "first use takes", fromPound, "What the first weeks of use take off the draw weight, "+untilLearnt,
			weight("allowances.settling", s.Units.Force, func(s *Settings) *measure.Force { return &s.Allowances.Settling })),
		row("tree", "hold", fromTrade, "After how many seconds at a draw the hold clock says to let down: longer sets the wood.",
			number("tree.hold_seconds", "seconds, such as 5", func(s *Settings) *float64 { return &s.Tree.Hold }, 1, 30,
				"expected seconds from 1 to 30: longer at a draw sets the wood, and shorter no scale is read")),
		row("card", "maker", "nothing", "The maker's mark or name on the card that goes with a bow.",
			text("card.maker", "a mark or a name of your choice", func(s *Settings) *string { return &s.Card.Maker }, lineUpTo(400))),
		row("card", "what the bow is", fromTrade, cardMeans,
			lines("card.facts", func(s *Settings) *[]string { return &s.Card.Facts }, max(11, len(s.Card.Facts)))...),
		row("card", "how it is kept", fromTrade, cardMeans,
			lines("card.care", func(s *Settings) *[]string { return &s.Card.Care }, max(10, len(s.Card.Care)))...),
	}
}

const untilLearnt = "until the shop's own bows tell better."

const unitMeans = "The unit in which every bow is shown and typed, whatever its record is kept in. " +
	"As described: each bow in that of its description, and new bows, lists and these settings in inches. " +
	"Any field takes 162mm or 6 3/8in."

const cardMeans = "Lines of the card that goes with a bow. {name}, {number}, {for}, {wood}, {weight}, {draw}, {mark}, {brace}, " +
	"{string}, {day}, {maker} and their like are filled in; a line with a place that cannot be filled is left out."

const stageMeans = "A step on a bow's way, in the shop's order: by what the story shows that it is done, whether it is owed, " +
	"how many coats or which grits, and how long the bow lies after it."

// Value is how a setting stands.
func (t Setting) Value(s Settings) string {
	if t.Stage >= 0 {
		return s.Stages[t.Stage].String()
	}
	var parts []string
	for _, f := range t.Fields {
		if value := f.Print(s); value != "" {
			parts = append(parts, value)
		}
	}
	return strings.Join(parts, " / ")
}

// Usual says whether a setting stands as it does to begin with.
func (t Setting) Usual(s, usual Settings) bool {
	if t.Stage < 0 {
		return t.Value(t.in(usual, s.Units)) == t.Value(s)
	}
	stage := s.Stages[t.Stage]
	return slices.ContainsFunc(usual.Stages, func(u Stage) bool { return u.Name == stage.Name && u.String() == stage.String() })
}

// in are settings in other units, except where those are the setting: a pound stays a pound.
func (t Setting) in(s Settings, units measure.Units) Settings {
	if t.Group != groupUnits {
		s.Units = units
	}
	return s
}

// AsUsual are the settings with this one, which is no stage, as it is to begin with.
func (t Setting) AsUsual(s Settings) Settings {
	to, usual := s.Clone(), t.in(Usual(), s.Units)
	for _, f := range t.Fields {
		_ = f.Parse(&to, f.Print(usual)) // what is usual can be set
	}
	return to
}

// Check says whether a shop can work by the settings. The error is a *model.FieldError.
func (s Settings) Check() error {
	for _, setting := range s.Table() {
		for _, field := range setting.Fields {
			if want := field.Want(s); want != "" {
				return wrong(field.Path, "%s", want)
			}
		}
	}
	return s.checkStages()
}

// LengthName is a unit of length in words.
func LengthName(unit measure.LengthUnit) string { return nameOf(lengthUnits(), unit) }

// ForceName is a unit of force in words.
func ForceName(unit measure.ForceUnit) string { return nameOf(forceUnits(), unit) }

func nameOf[T comparable](options []option[T], value T) string {
	i := slices.IndexFunc(options, func(o option[T]) bool { return o.value == value })
	return options[max(0, i)].name
}

func letters() []option[Letters] { return named(LettersAsTerminal, LettersASCII) }

func colours() []option[Colours] { return named(ColoursAsTerminal, Colours16, ColoursNone) }

func roundings() []option[Rounding] { return named(RoundDown, RoundNearest, RoundUp) }

func lengthUnits() []option[measure.LengthUnit] {
	return []option[measure.LengthUnit]{{"inches", measure.Inch}, {"centimetres", measure.Centimetre}, {"millimetres", measure.Millimetre}}
}

func forceUnits() []option[measure.ForceUnit] {
	return []option[measure.ForceUnit]{{"pounds", measure.PoundForce}, {"kilograms", measure.KilogramForce}, {"newtons", measure.Newton}}
}

func dateOrders() []option[date.Order] {
	return []option[date.Order]{
		{string(DatesAsTerminal), DatesAsTerminal}, {"day month year", date.DayFirst}, {"month day year", date.MonthFirst},
		{"year-month-day", date.ISO},
	}
}

func lengthUnit() Field[Settings] {
	return unit("units.length", lengthUnits(), func(s *Settings) (*measure.LengthUnit, *bool) { return &s.Units.Length, &s.Every.Length })
}

func forceUnit() Field[Settings] {
	return unit("units.force", forceUnits(), func(s *Settings) (*measure.ForceUnit, *bool) { return &s.Units.Force, &s.Every.Force })
}

// unit is a unit for every bow, the usual one first among the options, or as each bow was described. at gives the
// unit, and whether it holds for every bow although it is the usual one.
func unit[U comparable](path string, options []option[U], at func(*Settings) (*U, *bool)) Field[Settings] {
	const asDescribed = "as described"
	names := []option[string]{}
	for _, o := range options {
		names = append(names, option[string]{o.name, o.name})
	}
	return choose(path, append(names, named(asDescribed)...), func(s Settings) string {
		unit, every := at(&s)
		if *unit == options[0].value && !*every {
			return asDescribed
		}
		return nameOf(options, *unit)
	}, func(to *Settings, name string) {
		unit, every := at(to)
		i := max(0, slices.IndexFunc(options, func(o option[U]) bool { return o.name == name }))
		*unit, *every = options[i].value, i == 0 && name != asDescribed
	})
}

func wantMark(mark string) string {
	for _, place := range placeholder.FindAllString(mark, -1) {
		if !slices.Contains([]string{"{weight}", "{force}", "{draw}", "{length}", "{number}"}, place) {
			return expect(false, "%.40s is not known; expected {weight}, {force}, {draw}, {length} or {number}", place)
		}
	}
	both := strings.Contains(mark, "{weight}") && strings.Contains(mark, "{draw}")
	return cmp.Or(lineUpTo(200)(mark), expect(both, "expected {weight} and {draw} in it: a weight says nothing without its draw"))
}
