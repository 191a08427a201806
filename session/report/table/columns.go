package table

import (
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
)

// kind is a kind of row: its columns, and how an event and a row's cells turn into each other. A new kind of
// entry is one more of these.
type kind struct {
	name    string
	signs   []string // columns that tell the kind of a row that doesn't name it
	columns []column // those that no kind before it has
	// exchange writes an event into cells, or reads it from them.
	exchange func(c *cells, what model.Event) model.Event
}

// column says what stands under a heading.
type column struct {
	name   string
	in     string // what its numbers are: a length, a force, seconds; "" for anything else
	always bool   // written even where all its cells are empty
	words  bool   // the maker's own words, in which blanks count
	also   string // other names that it is read under, with commas between

	// Of a station's column, which has no name.
	station bool
	side    model.Side
	at      measure.Length

	// The unit that a heading in a file names; "" is the bow's own.
	length measure.LengthUnit
	force  measure.ForceUnit
}

// What a column's numbers can be.
const (
	lengths = "lengths"
	forces  = "forces"
	seconds = "seconds"
)

// Columns that several kinds share, or that stand for the row itself.
const (
	columnTime     = "time"
	columnDate     = "date"
	columnPass     = "pass"
	columnKind     = "kind"
	columnMeasured = "measured to"
	columnNote     = "note"
	columnEntry    = "entry"
)

// kindBlock is a row with the gaps under a straight block. A record has them in the entry of the braced bow.
const kindBlock = "block"

// columns are all columns in the order in which they are written; all stations stand in the place of one.
var columns = allColumns()

func allColumns() []column {
	all := []column{
		{name: columnTime, always: true, also: "when,at"},
		{name: columnDate, also: "day"}, // only read: time has both
		{name: columnPass, always: true},
		{name: columnKind, always: true, also: "what,type,reading"},
	}
	for _, k := range kinds {
		all = append(all, k.columns...)
	}
	return append(all, column{name: columnEntry, words: true, also: "id"})
}

// kinds are the kinds of rows, in the order of their columns.
var kinds = []kind{
	{
		name: "pull", signs: []string{"draw", "peak"},
		columns: []column{
			{name: "draw", in: lengths, always: true, also: "draw length"},
			{name: "peak", in: forces, always: true, also: "weight,draw weight,force,scale,pull"},
			{name: "held", in: seconds, also: "held s,held sec,held seconds,hold,seconds"},
		},
		exchange: both(func(c *cells, e *model.Pull) {
			c.mustLength("draw", &e.Draw)
			c.force("peak", &e.Peak)
			c.seconds("held", &e.Held)
			c.datum(&e.From, model.FromLine)
			c.stations(&e.Readings)
		}),
	},
	{
		name: "braced", signs: []string{"brace height"},
		columns: []column{
			{name: "brace height", in: lengths, also: "brace,height,fistmele"},
			{name: "string", in: lengths, also: "string length"}, // beside the height that it gives
		},
		exchange: both(func(c *cells, e *model.Braced) {
			c.length("brace height", &e.Height)
			c.datum(&e.From, model.FromString)
			c.stations(&e.Readings)
		}),
	},
	{
		name: kindBlock, signs: []string{"block"},
		columns: []column{
			{name: "block", in: lengths, also: "block length"},
			{name: columnMeasured, also: "datum"}, // of any walk round the bow
		},
		exchange: both(func(c *cells, e *model.Braced) {
			c.length("brace height", &e.Height)
			c.block(e)
		}),
	},
	{
		name:     "relaxed",
		columns:  []column{{station: true}},
		exchange: both(func(c *cells, e *model.Relaxed) { c.stations(&e.Readings) }),
	},
	{
		name: "string", signs: []string{"string"},
		exchange: both(func(c *cells, e *model.StringLength) { c.mustLength("string", &e.Length) }),
	},
	{
		name: "scrape", signs: []string{"strokes", "from"},
		columns: []column{
			{name: "limb", also: "side"}, {name: "from", in: lengths}, {name: "to", in: lengths},
			{name: "tool", words: true}, {name: "strokes", also: "stroke"}, {name: "depth", in: lengths},
			{name: "depth share"},
		},
		exchange: both(func(c *cells, e *model.Scrape) {
			c.mustLength("from", &e.From)
			c.mustLength("to", &e.To)
			c.text("tool", &e.Tool)
			c.count("strokes", &e.Strokes)
			c.length("depth", &e.Depth)
			c.number("depth share", &e.DepthShare)
			c.limb("limb", &e.Limb)
		}),
	},
	{
		name: "exercise", signs: []string{"pulls"},
		columns:  []column{{name: "pulls", also: "exercise"}},
		exchange: both(func(c *cells, e *model.Exercise) { c.mustCount("pulls", &e.Pulls) }),
	},
	{
		name: "finish", signs: []string{"step"},
		columns: []column{
			{name: "step", words: true, also: "finish"}, {name: "coat", also: "coats"}, {name: "grit"},
			{name: "done on", also: "on"}, {name: "stamped", words: true, also: "stamp"},
		},
		exchange: both(func(c *cells, e *model.Finish) {
			c.text("step", &e.Step)
			c.count("coat", &e.Coat)
			c.count("grit", &e.Grit)
			day := string(e.On)
			c.text("done on", &day)
			e.On = model.Day(strings.TrimSpace(day))
			c.text("stamped", &e.Text)
		}),
	},
	{
		name: "moisture", signs: []string{"moisture content", "humidity"},
		columns: []column{
			{name: "where", also: "air"}, {name: "moisture content", also: "content,wood moisture"},
			{name: "celsius"}, {name: "humidity", also: "relative humidity"},
		},
		exchange: both(func(c *cells, e *model.Moisture) {
			where := string(e.Where)
			c.text("where", &where)
			e.Where = model.Air(strings.ToLower(strings.TrimSpace(where)))
			c.number("moisture content", &e.Content)
			c.number("celsius", &e.Celsius)
			c.number("humidity", &e.Humidity)
		}),
	},
	{
		name: columnNote, signs: []string{columnNote},
		columns:  []column{{name: columnNote, words: true, also: "notes,text,remark,remarks,comment"}},
		exchange: both(func(c *cells, e *model.Note) { c.text(columnNote, &e.Text) }),
	},
}

// both makes an exchange out of one that knows the event's type. What is read begins with nothing.
func both[E model.Event](exchange func(*cells, *E)) func(*cells, model.Event) model.Event {
	return func(c *cells, what model.Event) model.Event {
		e, _ := what.(E)
		exchange(c, &e)
		return e
	}
}

func kindNamed(name string) (k kind, known bool) {
	i := slices.IndexFunc(kinds, func(k kind) bool { return k.name == name })
	if i < 0 {
		return kind{}, false
	}
	return kinds[i], true
}
