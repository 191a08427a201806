package table

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

type column struct {
	name string // "" of a station's
	side model.Side
	at   float64 // the station, in the bow's own unit
}

// Columns that stand for the row itself, and those that are named here more than once.
const (
	columnTime     = "time"
	columnPass     = "pass"
	columnKind     = "kind"
	columnMeasured = "measured to"
	columnStations = "" // all stations
	columnEntry    = "entry"
)

// kindBlock is a row with the gaps under a straight block, which a record keeps in the braced entry.
const kindBlock = "block"

// kinds are the kinds of row; columns are in the order of writing, and columnHolds says what is in them.
var (
	kinds                = Kinds()
	columns, columnHolds = allColumns()
)

// Kinds are the kinds of row: a block's gaps, and the kinds of entry that a table has.
func Kinds() []string {
	all := []string{kindBlock}
	for _, k := range model.Kinds() {
		if k != model.KindVoid && k != model.KindEdit && k != model.KindRack {
			all = append(all, string(k))
		}
	}
	return all
}

// allColumns lists the columns with a fixed place, then those of new kinds.
func allColumns() (all []string, hold map[string]holds) {
	all = []string{
		columnTime, columnPass, columnKind, "draw", "peak", "held", "brace height", "string", "on string",
		kindBlock,
		columnMeasured, columnStations, "limb", "from", "to", "tool", "strokes", "depth", "depth share", "pulls",
		"step", "coat", "grit", "done on", "stamped", "where", "moisture content", "celsius", "humidity", "note",
	}
	hold = make(map[string]holds)
	for _, kind := range Kinds() {
		for _, f := range fieldsOf(kind) {
			if hold[f.column] = f.holds; !slices.Contains(all, f.column) {
				all = append(all, f.column)
			}
		}
	}
	return append(all, columnEntry), hold
}

type holds int

const (
	nothing holds = iota
	text
	word
	flag
	lengths
	forces
	seconds
	numbers
	times
)

// field is a field of an entry in a record, and its column.
type field struct {
	name, column string
	holds
}

func fieldsOf(kind string) []field {
	if kind == kindBlock {
		return []field{{"length", kindBlock, lengths}, {"", columnStations, lengths}}
	}
	f := fields{kind: kind}
	model.Exchange(model.Kind(kind), nil, &f)
	return f.all
}

type fields struct {
	kind string
	all  []field
}

func (f *fields) add(name string, h holds) {
	named := map[string]string{
		"braced.height": "brace height", "string.length": "string", "pull.on": "on string", "finish.on": "done on",
		"finish.text": "stamped", "moisture.content": "moisture content", "note.text": "note",
	}[f.kind+"."+name]
	f.all = append(f.all, field{name, cmp.Or(named, strings.ReplaceAll(name, "_", " ")), h})
}

func (f *fields) Text(name string, _ *string)                                  { f.add(name, text) }
func (f *fields) FullText(name string, _ *string)                              { f.add(name, text) }
func (f *fields) Name(name, _ string, _ *string)                               { f.add(name, text) }
func (f *fields) Word(name string, _ *string)                                  { f.add(name, word) }
func (f *fields) Day(name string, _ *model.Day)                                { f.add(name, word) }
func (f *fields) Side(name string, _ *model.Side)                              { f.add(name, word) }
func (f *fields) Flag(name string, _ *bool)                                    { f.add(name, flag) }
func (f *fields) Length(name string, _ *measure.Length)                        { f.add(name, lengths) }
func (f *fields) MaybeLength(name string, _ *measure.Optional[measure.Length]) { f.add(name, lengths) }
func (f *fields) MaybeForce(name string, _ *measure.Optional[measure.Force])   { f.add(name, forces) }
func (f *fields) MaybeSeconds(name string, _ *measure.Optional[time.Duration]) { f.add(name, seconds) }
func (f *fields) Number(name string, _ *float64)                               { f.add(name, numbers) }
func (f *fields) MaybeNumber(name string, _ *measure.Optional[float64])        { f.add(name, numbers) }
func (f *fields) Count(name string, _ *int)                                    { f.add(name, numbers) }
func (f *fields) MaybeCount(name string, _ *measure.Optional[int])             { f.add(name, numbers) }
func (f *fields) Patch(string, *[]byte)                                        {}
func (f *fields) Block(**model.Block)                                          {}
func (f *fields) Readings(*model.Readings) {
	f.all = append(f.all, field{"", columnStations, lengths})
}
func (f *fields) Datum(*model.Datum, model.Datum) {
	f.all = append(f.all, field{"from", columnMeasured, word})
}

// heading returns a column's heading in a table in units.
func (c column) heading(in measure.Units) string {
	switch {
	case c.name == columnStations:
		return c.side.String() + " " + decimal(c.at)
	case columnHolds[c.name] == lengths:
		return c.name + " (" + string(in.Length) + ")"
	case columnHolds[c.name] == forces:
		return c.name + " (" + in.Force.Symbol() + ")"
	case columnHolds[c.name] == seconds:
		return c.name + " (s)"
	}
	return c.name
}

// heading is a column in a file, with the units of its numbers.
type heading struct {
	column
	named string // the column as the file names it
	units measure.Units
}

func noHeading() heading { return heading{column: column{name: "no heading"}, named: "no heading"} }

// parseHeading finds the column of a bow in own units that a heading means; known is false
// where it means none.
func parseHeading(text string, own measure.Units) (h heading, known bool) {
	name, unit, _ := strings.Cut(strings.ToLower(strings.TrimRight(text, ") ")), "(")
	name = strings.Join(strings.Fields(name), " ")
	length, force := measure.LengthNamed(unit), measure.ForceNamed(unit)
	h.named = short(text)
	h.units = measure.Units{Length: cmp.Or(length, own.Length), Force: cmp.Or(force, own.Force)}
	for _, side := range model.Sides {
		if place, found := strings.CutPrefix(name, side.String()); found {
			h.side = side
			h.at, known = plainNumber(place)
			return h, known && (unit == "" || length != "")
		}
	}
	i := slices.IndexFunc(columns, func(c string) bool {
		return c != "" && strings.ReplaceAll(c, " ", "") == strings.ReplaceAll(name, " ", "")
	})
	if i < 0 {
		return h, false
	}
	h.name = columns[i]
	fits := map[holds]bool{lengths: length != "", forces: force != "" && length == "", seconds: unit == "s"}
	return h, unit == "" || fits[columnHolds[h.name]]
}
