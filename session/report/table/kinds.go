package table

import (
	"slices"

	"bendbook/model"
)

// kind is a kind of row. Its columns follow from the fields of its event.
type kind struct {
	name  string
	signs []string          // columns that give away the kind of a row that doesn't name it
	as    map[string]string // the column of a field with another name than the field's
}

// exchange writes an event into cells, or reads it from them.
func (k kind) exchange(c *cells, what model.Event) model.Event {
	c.as = k.as
	if k.name != kindBlock {
		return model.Exchange(model.Kind(k.name), what, c)
	}
	e, _ := what.(model.Braced)
	c.MaybeLength("height", &e.Height)
	c.block(&e)
	return e
}

// kinds and columns are in the order of writing. One column stands for all stations.
var (
	kinds   = allKinds()
	columns = allColumns()
)

// allKinds lists the kinds that need a word on their columns, then all others that have rows.
func allKinds() []kind {
	height := map[string]string{"height": "brace height"}
	all := []kind{
		{"pull", []string{"draw", "peak"}, nil},
		{"braced", []string{"brace height"}, height},
		{kindBlock, []string{"block"}, height},
		{"relaxed", nil, nil},
		{"string", []string{"string"}, map[string]string{"length": "string"}},
		{"scrape", []string{"strokes", "from"}, nil},
		{"exercise", []string{"pulls"}, nil},
		{"finish", []string{"step"}, map[string]string{"on": "done on", "text": "stamped"}},
		{"moisture", []string{"moisture content", "humidity"}, map[string]string{"content": "moisture content"}},
		{columnNote, []string{columnNote}, map[string]string{"text": columnNote}},
	}
	for _, k := range model.Kinds() {
		noRow := []model.Kind{model.KindVoid, model.KindEdit, model.KindRack}
		if _, has := kindNamed(all, string(k)); !has && !slices.Contains(noRow, k) {
			all = append(all, kind{name: string(k)})
		}
	}
	return all
}

// allColumns lists the columns with a fixed place, with other names for reading, then those of new kinds.
func allColumns() []column {
	all := []column{
		{name: columnTime, also: "when,at"}, {name: columnDate, also: "day"}, {name: columnPass},
		{name: columnKind, also: "what,type,reading"},
		{name: "draw", also: "draw length"}, {name: "peak", also: "weight,draw weight,force,scale,pull"},
		{name: "held", also: "held s,held sec,held seconds,hold,seconds"},
		{name: "brace height", also: "brace,height,fistmele"}, {name: "string", also: "string length"},
		{name: kindBlock, also: "block length"}, {name: columnMeasured, also: "datum"}, {station: true},
		{name: "limb", also: "side"}, {name: "from"}, {name: "to"}, {name: "tool"},
		{name: "strokes", also: "stroke"}, {name: "depth"}, {name: "depth share"},
		{name: "pulls", also: "exercise"}, {name: "step", also: "finish"}, {name: "coat", also: "coats"},
		{name: "grit"}, {name: "done on", also: "on"}, {name: "stamped", also: "stamp"},
		{name: "where", also: "air"}, {name: "moisture content", also: "content,wood moisture"},
		{name: "celsius"}, {name: "humidity", also: "relative humidity"},
		{name: columnNote, also: "notes,text,remark,remarks,comment"},
	}
	for _, k := range kinds {
		var c cells
		k.exchange(&c, nil)
		for _, asked := range c.asked {
			i := slices.IndexFunc(all, func(c column) bool { return c.name == asked.name })
			if i < 0 {
				i = len(all)
				all = append(all, asked)
			}
			all[i].in, all[i].words = asked.in, asked.words
		}
	}
	return append(all, column{name: columnEntry, also: "id", words: true})
}

func kindNamed(of []kind, name string) (k kind, known bool) {
	if i := slices.IndexFunc(of, func(k kind) bool { return k.name == name }); i >= 0 {
		return of[i], true
	}
	return kind{}, false
}
