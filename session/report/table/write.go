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
	"unicode"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
)

// byteOrderMark tells a spreadsheet that the letters are UTF-8. A table in plain ASCII goes without.
const byteOrderMark = "\ufeff"

// Write writes lines of a bow's story as a table, with times local to place. The error is the writer's, or says
// which entry can't be written.
func Write(w io.Writer, bow model.Bow, lines []session.Line, place *time.Location) error {
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
	if strings.ContainsFunc(text, func(r rune) bool { return r > unicode.MaxASCII }) {
		text = byteOrderMark + text
	}
	_, err := io.WriteString(w, text)
	return err
}

// cells is a row of a table.
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
	row := func(kind string, doc map[string]any, places func(model.Side) []float64) {
		c := cells{{name: columnKind}: kind, {name: columnEntry}: defuse(entry.ID)}
		if !entry.At.IsZero() {
			c[column{name: columnTime}] = entry.At.In(place).Format(time.RFC3339Nano)
		}
		for _, f := range fieldsOf(kind) {
			if f.column != columnStations {
				c[column{name: f.column}] = printValue(doc[f.name])
				continue
			}
			for _, side := range model.Sides {
				c.addStations(side, places(side), doc[side.String()])
			}
		}
		rows = append(rows, c)
	}
	kind := string(entry.What.Kind())
	if slices.Contains(kinds, kind) {
		row(kind, doc, func(side model.Side) []float64 { return stationsOf(bow, side) })
	}
	if braced, isBraced := entry.What.(model.Braced); isBraced && braced.Block != nil {
		block, _ := doc["block"].(map[string]any)
		row(kindBlock, block, func(model.Side) []float64 { return inUnits(braced.Block.At, bow.Units) })
	}
	return rows, nil
}

// addStations writes a limb's readings, of a place the first.
func (c cells) addStations(side model.Side, places []float64, readings any) {
	all, _ := readings.([]any)
	for i, at := range places[:min(len(places), len(all))] {
		station := column{side: side, at: at}
		c[station] = cmp.Or(c[station], printValue(all[i]))
	}
}

func stationsOf(bow model.Bow, side model.Side) []float64 {
	return inUnits(bow.Limbs[side].Stations, bow.Units)
}

func inUnits(all []measure.Length, units measure.Units) []float64 {
	numbers := make([]float64, len(all))
	for i, l := range all {
		numbers[i] = l.In(units.Length)
	}
	return numbers
}

// records are rows under their headings.
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
	for _, side := range model.Sides {
		for _, at := range stationsOf(bow, side) {
			filled[column{side: side, at: at}] = true
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
