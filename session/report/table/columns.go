package table

import (
	"slices"

	"bendbook/model"
	"bendbook/model/measure"
)

// kind is a kind of row: its columns, and which fields of its event are in columns of another name.
type kind struct {
	name    string
	signs   []string          // columns that tell the kind of a row that doesn't name it
	columns []column          // those that no kind before it has
	as      map[string]string // columns by field; where there is none it is named as the field
	gaps    bool              // its rows have the gaps under a block
}

// exchange writes an event into cells, or reads it from them.
func (k kind) exchange(c *cells, what model.Event) model.Event {
	c.as = k.as
	if !k.gaps {
		return model.Exchange(model.Kind(k.name), what, c)
	}
	e, _ := what.(model.Braced)
	c.MaybeLength("height", &e.Height)
	c.block(&e)
	return e
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

// kinds of rows and all their columns, in the order of writing; one column stands for all stations.
var (
	kinds   = allKinds()
	columns = allColumns()
)

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

// known are the kinds whose columns have a place of their own, or are known under several names.
func known() []kind {
	height := map[string]string{"height": "brace height"}
	return []kind{
		{
			name: "pull", signs: []string{"draw", "peak"},
			columns: []column{
				{name: "draw", in: lengths, always: true, also: "draw length"},
				{name: "peak", in: forces, always: true, also: "weight,draw weight,force,scale,pull"},
				{name: "held", in: seconds, also: "held s,held sec,held seconds,hold,seconds"},
			},
		},
		{
			name: "braced", signs: []string{"brace height"}, as: height,
			columns: []column{
				{name: "brace height", in: lengths, also: "brace,height,fistmele"},
				{name: "string", in: lengths, also: "string length"}, // beside the height that it gives
			},
		},
		{
			name: kindBlock, signs: []string{"block"}, as: height, gaps: true,
			columns: []column{
				{name: "block", in: lengths, also: "block length"},
				{name: columnMeasured, also: "datum"}, // of any walk round the bow
			},
		},
		{name: "relaxed", columns: []column{{station: true}}},
		{name: "string", signs: []string{"string"}, as: map[string]string{"length": "string"}},
		{
			name: "scrape", signs: []string{"strokes", "from"},
			columns: []column{
				{name: "limb", also: "side"}, {name: "from", in: lengths}, {name: "to", in: lengths},
				{name: "tool", words: true}, {name: "strokes", also: "stroke"}, {name: "depth", in: lengths},
				{name: "depth share"},
			},
		},
		{name: "exercise", signs: []string{"pulls"}, columns: []column{{name: "pulls", also: "exercise"}}},
		{
			name: "finish", signs: []string{"step"}, as: map[string]string{"on": "done on", "text": "stamped"},
			columns: []column{
				{name: "step", words: true, also: "finish"}, {name: "coat", also: "coats"}, {name: "grit"},
				{name: "done on", also: "on"}, {name: "stamped", words: true, also: "stamp"},
			},
		},
		{
			name: "moisture", signs: []string{"moisture content", "humidity"},
			as: map[string]string{"content": "moisture content"},
			columns: []column{
				{name: "where", also: "air"}, {name: "moisture content", also: "content,wood moisture"},
				{name: "celsius"}, {name: "humidity", also: "relative humidity"},
			},
		},
		{
			name: columnNote, signs: []string{columnNote}, as: map[string]string{"text": columnNote},
			columns: []column{{name: columnNote, words: true, also: "notes,text,remark,remarks,comment"}},
		},
	}
}

// allKinds are the known ones and, with columns named as their fields, all others that have rows.
func allKinds() []kind {
	all := known()
	for _, k := range model.Kinds() {
		noRow := []model.Kind{model.KindVoid, model.KindEdit, model.KindRack}
		if _, has := kindNamed(all, string(k)); has || slices.Contains(noRow, k) {
			continue
		}
		c := &cells{fields: make(map[string]string), used: make(map[string]bool)}
		model.Exchange(k, nil, c)
		fresh := kind{name: string(k)}
		for _, asked := range c.asked {
			has := func(k kind) bool {
				return slices.ContainsFunc(k.columns, func(c column) bool { return c.name == asked.name })
			}
			if !slices.ContainsFunc(all, has) {
				fresh.columns = append(fresh.columns, asked)
			}
		}
		all = append(all, fresh)
	}
	return all
}

func kindNamed(of []kind, name string) (k kind, known bool) {
	if i := slices.IndexFunc(of, func(k kind) bool { return k.name == name }); i >= 0 {
		return of[i], true
	}
	return kind{}, false
}
