package table

import (
	"cmp"
	"encoding/csv"
	"encoding/json"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
)

// byteOrderMark tells a spreadsheet that the letters are UTF-8.
const byteOrderMark = "\ufeff"

// timeLayout is RFC 3339 with an offset in figures: spreadsheets take a Z off, and leave this as it is.
const timeLayout = "2006-01-02T15:04:05.999999999-07:00"

// Write writes lines of a bow's story as a table, with times local to place; a plain one begins without the
// mark that spreadsheets know UTF-8 by. It fails where w does, or where an entry doesn't fit into a record.
func Write(w io.Writer, bow model.Bow, lines []session.Line, place *time.Location, plain bool) error {
	bow = bow.AsKept()
	var all []cells
	for _, line := range lines {
		if !line.Counts() {
			continue
		}
		rows, err := rowsOf(bow, line.Entry, place)
		if err != nil {
			return err
		}
		for _, row := range rows {
			row[column{name: columnPass}] = strconv.Itoa(line.Pass)
		}
		all = append(all, rows...)
	}
	var b strings.Builder
	_ = csv.NewWriter(&b).WriteAll(records(bow, all)) // a Builder never fails
	text := b.String()
	if !plain {
		text = byteOrderMark + text
	}
	_, err := io.WriteString(w, text)
	return err
}

type cells map[column]string

// rowsOf returns an entry's row and the one of the gaps under its block; none for a kind that has no row.
func rowsOf(bow model.Bow, entry model.Entry, place *time.Location) (rows []cells, err error) {
	item, err := record.NewItem(entry, bow.Units)
	if err != nil {
		return nil, err
	}
	var doc map[string]any
	if err := json.Unmarshal(item.Doc, &doc); err != nil {
		return nil, err
	}
	row := func(kind string, doc map[string]any, places [2][]float64) {
		c := cells{{name: columnKind}: kind, {name: columnEntry}: defuse(entry.ID)}
		if !entry.At.IsZero() {
			c[column{name: columnTime}] = entry.At.In(place).Format(timeLayout)
		}
		for _, f := range fieldsOf(kind) {
			c.set(column{name: f.column}, doc[f.name])
		}
		for side, at := range places {
			readings, _ := doc[model.Side(side).String()].([]any)
			for i, v := range readings[:min(len(readings), len(at))] {
				c.set(column{side: model.Side(side), at: at[i]}, v)
			}
		}
		rows = append(rows, c)
	}
	kind := string(entry.What.Kind())
	if slices.Contains(kinds, kind) {
		row(kind, doc, stationsOf(bow))
	}
	if braced, isBraced := entry.What.(model.Braced); isBraced && braced.Block != nil {
		at := inUnit(braced.Block.At, bow.Units.Length)
		row(kindBlock, doc["block"].(map[string]any), [2][]float64{at, at})
	}
	return rows, nil
}

func (c cells) set(in column, v any) {
	switch v := v.(type) {
	case string:
		c[in] = defuse(v)
	case float64:
		c[in] = decimal(v)
	case bool:
		c[in] = map[bool]string{true: "yes", false: "no"}[v]
	}
}

// stationsOf are the places of the stations on each side, in the bow's own unit.
func stationsOf(bow model.Bow) (all [2][]float64) {
	for side, limb := range bow.Limbs {
		all[side] = inUnit(limb.Stations, bow.Units.Length)
	}
	return all
}

func inUnit(all []measure.Length, unit measure.LengthUnit) (numbers []float64) {
	for _, l := range all {
		numbers = append(numbers, l.In(unit))
	}
	return numbers
}

func records(bow model.Bow, rows []cells) [][]string {
	all := make([][]string, 1+len(rows))
	for _, c := range filledColumns(bow, rows) {
		all[0] = append(all[0], c.heading(bow.Units))
		for i, row := range rows {
			all[1+i] = append(all[1+i], row[c])
		}
	}
	return all
}

// filledColumns returns the columns that some row fills, those of every table, and the bow's stations.
func filledColumns(bow model.Bow, rows []cells) []column {
	filled := make(map[column]bool)
	for _, name := range []string{columnTime, columnPass, columnKind, "draw", "peak"} {
		filled[column{name: name}] = true
	}
	for side, places := range stationsOf(bow) {
		for _, at := range places {
			filled[column{side: model.Side(side), at: at}] = true
		}
	}
	for _, row := range rows {
		for c, cell := range row {
			if cell != "" {
				filled[c] = true
			}
		}
	}
	return slices.SortedFunc(maps.Keys(filled), func(a, b column) int {
		return cmp.Or(cmp.Compare(slices.Index(columns, a.name), slices.Index(columns, b.name)),
			cmp.Compare(a.side, b.side), cmp.Compare(a.at, b.at))
	})
}
