package finish

import (
	"fmt"
	"slices"
	"strings"

	"bendbook/model/measure"
)

// Setting is one row of a shop's settings, with the fields that change it.
type Setting struct {
	Group  string
	Source string // of its usual value
	Means  string
	Label  string
	Fields []field
	Stage  int // its index among the stages; -1 for other settings
}

// Where the usual settings come from.
const (
	fromTrade    = "common practice in the trade"
	fromShare    = fromTrade + ": two or three in a hundred, a pound of 40"
	fromTerminal = "the terminal and its locale say"
	fromProgram  = "Bendbook's own"
)

// Table lists all settings in the order in which they are shown.
func (s Settings) Table() []Setting {
	all := practice(s)
	for i, stage := range s.Stages {
		fields := stageFields()
		for k := range fields {
			fields[k].Path = fmt.Sprintf("stages[%d].%s", i, fields[k].Path)
		}
		all = append(all, Setting{"stages", fromTrade, stageMeans, stage.Name, fields, i})
	}
	return all
}

func row(group, source, means string, f field) Setting {
	f.Must = group != "card" && f.Path != "photo.folder"
	return Setting{group, source, means, f.Label, []field{f}, -1}
}

func practice(s Settings) []Setting {
	facts, care := lines("card.facts", max(12, len(s.Card.Facts))), lines("card.care", max(12, len(s.Card.Care)))
	return slices.Concat(shown(), stamped(), rigged(), pictured(), []Setting{
		row("card", "nothing", "The maker's mark or name on the card that goes with a bow.",
			field{Path: "card.maker", Label: "maker", Hint: "a mark or a name of your choice", most: 400}),
		row("card", "nothing", "Where the customer finds the maker: a telephone number, an address.",
			field{Path: "card.contact", Label: "contact", Hint: "a telephone number or an address", most: 400}),
		{"card", fromTrade, cardMeans, "what the bow is", facts, -1},
		{"card", fromTrade, cardMeans, "how it is kept", care, -1},
	})
}

func shown() []Setting {
	return []Setting{
		row("units", fromTrade, "The unit in which you type and read every bow. Records keep their own. As "+
			"described: each bow in its own unit, and all else in inches. "+
			"Any field takes 162mm or 6 3/8in.", lengths()),
		row("units", fromTrade, "The unit of draw weights, for every bow. As described: each bow in its own "+
			"unit, and all else in pounds. Any field takes 40lb or 18kg.", weights()),
		row("units", fromTerminal, "How days are written. Months are in letters, so that you never take one for "+
			"a day. You can always type 2027-02-01.", oneOf("dates", "dates", "as the terminal",
			"day month year=day-month-year", "month day year=month-day-year", "year-month-day")),
		row("screen", fromTerminal, "What screens are drawn with. ASCII is for terminals without lines and "+
			"fractions. It comes by itself where the locale isn't UTF-8.",
			oneOf("screen.letters", "letters", "as the terminal", "ASCII")),
		row("screen", fromTerminal, "How many colours screens use. NO_COLOR in the environment turns all of "+
			"them off.",
			oneOf("screen.colours", "colours", "as the terminal", "light", "dark", "16", "none")),
		row("screen", fromProgram, "Which picture the bench opens with: how evenly the limbs bend, or how they "+
			"hang. v at the bench changes it.",
			oneOf("screen.picture", "picture", "evenness", "shape")),
	}
}

func stamped() []Setting {
	return []Setting{
		row("mark", fromTrade, "What is stamped on a bow. {weight}, {force}, {draw}, {length} and {number} are "+
			"filled in; weight and draw must be in it.", field{Path: "mark.text", Label: "text", most: 200,
			judge: wantMark, Hint: "such as {weight} {force} @ {draw} {length} {number}"}),
		row("mark", fromTrade, "How the stamped weight is rounded. Down never stamps a bow heavier than it is.",
			oneOf("mark.round", "rounding", "down", "nearest", "up")),
		row("mark", fromTrade, "The step that the stamped weight is rounded to, in the bow's unit.",
			field{Path: "mark.to", Label: "rounded to", Hint: "such as 1 or 0.5", least: 0.01, most: 20,
				want: "type a step from 0.01 to 20, in the bow's unit"}),
		row("number", fromProgram, "How new numbers are made. {year}, {yy}, {month} and {day} are the date. "+
			"{letters} are four random ones, so that two books never give the same number.",
			field{Path: "number.pattern", Label: "pattern", most: longestNumber, judge: wantPattern,
				Hint: "such as {yy}{month}{day}-{count}-{letters}, or {count:3} to pad"}),
		row("number", fromProgram, "The count in the shop's first number. It goes on from the highest so far.",
			field{Path: "number.start", Label: "first count", Hint: "a whole number, such as 1 or 348",
				least: 1, most: highestCount, want: "type a whole number, such as 1"}),
		row("number", fromProgram, "Yes if no other book gives numbers for the same maker. Then you can leave "+
			"out {letters}.", oneOf("number.alone", "one book only", "no=false", "yes=true")),
		row("allowances", fromShare, "What finishing takes off the draw weight, in percent. Your own bows teach "+
			"Bendbook better.", taken("allowances.finishing", "finishing takes")),
		row("allowances", fromShare, "What the first weeks of use take off, in percent. Your own bows teach "+
			"Bendbook better.", taken("allowances.first_use", "first use takes")),
	}
}

func rigged() []Setting {
	return []Setting{
		row("tree", fromTrade, "How many seconds you hold a draw before the clock rings. Holding longer sets "+
			"the wood.",
			field{Path: "tree.hold_seconds", Label: "hold", Hint: "seconds, such as 5", Unit: "s", least: 1, most: 30,
				want: "type 1 to 30 seconds: longer holds set the wood"}),
		row("tree", fromTrade, "How many hours a limb rests after heat before you read or draw it.",
			field{Path: "tree.heat_rest_hours", Label: "rest after heat", Hint: "hours, such as 24", Unit: "h",
				least: 1, most: 1000, want: "type 1 to 1000 hours"}),
		row("tree", fromTrade, "Where the scale hangs. On the hauling rope, behind a pulley, it reads 5 to 15% "+
			"high. Weights are then worked out for the hook, on bows in hand too. ? shows a drawing.",
			oneOf("tree.scale_at", "scale hangs", "at the hook=hook", "on the hauling rope=rope")),
		row("tree", fromTrade, "By how much a scale on the rope reads high, in percent. Pull one bow to the "+
			"same draw with the scale in each place. Type both readings: 44 40. Type 0 if you haven't: I assume "+
			"5 to 15%, and ranges are wide.",
			field{Path: "tree.reads_high", Label: "reads high by", Unit: "%", most: 50,
				want: "type a percentage from 0 to 50, or two readings such as 44 40",
				Hint: "a percentage, or both readings, rope then hook, such as 44 40; 0 for not known"}),
		row("tree", fromTrade, "What the scale shows with hook and rope but no bow. It comes off each "+
			"reading.", typed("tree.tare", "tare", "a weight, such as 0.5lb; 0 for none", wantTare)),
		row("tree", fromTrade, "How far the hook sits above the string's middle. Type a minus if it sits below. "+
			"Off the middle, one limb looks stronger than it is.",
			typed("tree.hook_off", "hook off middle", "a length, such as 1/2in or -1/4in; 0 for the middle",
				wantHook)),
		row("tree", fromTrade, "How the bow is held at its handle: clamped, or on a cradle where it can tilt.",
			oneOf("tree.cradle", "bow held", "clamped", rocking)),
		row("tree", fromTrade, "The line you measure limbs and draws to. One fixed on the wall also shows how "+
			"far the support sinks. A taut string or straightedge on the handle moves with the bow.",
			oneOf("tree.line", "line", "on the wall=wall", "moves with the bow=bow")),
	}
}

const cardMeans = "Lines of the card that goes with a bow. Filled in are: {name}, {number}, {for}, {wood}, " +
	"{weight}, {draw}, {mark}, {brace}, {string}, {up}, {arrow}, {day}, {maker}, {contact}. A line that can't " +
	"be filled is left out. {yew} is filled in for yew alone."

const stageMeans = "A step on a bow's way, in your order. Say what shows that it's done, and whether it's " +
	"owed. Say how many coats, which grits, and how long the bow rests after it."

func stageFields() []field {
	return []field{
		{Path: "name", Label: "name", Hint: "what you call it, such as varnish", Must: true, most: 40,
			want: "the name is missing: type what you call the stage"},
		oneOf("seen", "seen by", "my word=", "pulled", "braced", "at weight", "string made", "shot in", "weighed",
			"marked", "handed over", "came back", "weighed again").hinted("", "seen by: %s"),
		oneOf("must", "owed", "no=false", "yes=true").
			hinted("still owed once a later stage is done? 1 no, 2 yes", "owed"),
		oneOf("takes_wood", "takes wood", "no=false", "yes=true").
			hinted("does the bow weigh less after it? 1 no, 2 yes", "takes wood"),
		{Path: "coats", Label: "coats", told: "%s coats", most: 40, want: "type how many coats, 40 at most",
			Hint: "how many coats at least, one a day, such as 2; Enter alone for one"},
		{Path: "grits", Label: "grits", told: "grits %s",
			Hint: "from coarse to fine, such as 80, 120, 240; Enter alone for none"},
		{Path: "rest_hours", Label: "lies", told: "lies %s h", most: 366 * 24, want: "type hours from 0 to 8784",
			Hint: "hours the bow rests after it, such as 24; Enter alone for none"},
	}
}

func lengths() field {
	f := oneOf("units.length", "lengths", "inches=in", "centimetres=cm", "millimetres=mm", asDescribed+"=in")
	f.every = "every_bow.length"
	return f
}

func weights() field {
	f := oneOf("units.force", "weights", "pounds=lbf", "kilograms=kgf", "newtons=N", asDescribed+"=lbf")
	f.every = "every_bow.force"
	return f
}

// LengthName is a unit of length in words.
func LengthName(unit measure.LengthUnit) string { return lengths().name(string(unit)) }

// ForceName is a unit of force in words.
func ForceName(unit measure.ForceUnit) string { return weights().name(string(unit)) }

func taken(path, label string) field {
	return field{Path: path, Label: label, Unit: "%", most: 20, want: "type a percentage from 0 to 20",
		Hint: "a percentage of the weight, such as 2.5; 0 for nothing"}
}

func typed(path, label, hint string, want func(Settings, string) string) field {
	return field{Path: path, Label: label, Hint: hint, most: 40, judge: want}
}

func wantTare(_ Settings, text string) string {
	tare, err := measure.ParseForce(text, measure.PoundForce)
	return expect(err == nil && tare >= 0 && tare <= 20, "type a weight from 0 to 20 lb, such as 0.5lb")
}

func wantHook(_ Settings, text string) string {
	off, err := measure.ParseLength(text, measure.Inch)
	return expect(err == nil && off >= -3 && off <= 3, "type 3 in at most either way, such as 1/2in")
}

// lines are fields for the lines of a list and one more; a line left empty is dropped.
func lines(path string, count int) (all []field) {
	const hint = "a line of the card, such as Draw weight: {weight} at {draw} {draw_to}; " +
		"empty it to leave it out"
	for i := range count + 1 {
		all = append(all, field{Path: fmt.Sprintf("%s[%d]", path, i), Label: fmt.Sprint(i + 1), Hint: hint,
			most: 400})
	}
	return all
}

func wantMark(_ Settings, mark string) string {
	for _, place := range placeholder.FindAllString(mark, -1) {
		if !slices.Contains([]string{"{weight}", "{force}", "{draw}", "{length}", "{number}"}, place) {
			return fmt.Sprintf("%.40s is not known: use {weight}, {force}, {draw}, {length} or {number}", place)
		}
	}
	both := strings.Contains(mark, "{weight}") && strings.Contains(mark, "{draw}")
	return expect(both, "write both {weight} and {draw}: a weight means nothing without its draw")
}

func wantPattern(s Settings, _ string) string { return s.Number.want() }
