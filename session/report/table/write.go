package table

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode"

	"bendbook/model"
	"bendbook/session"
)

// byteOrderMark tells a spreadsheet that the letters are UTF-8. A table in plain ASCII goes without.
const byteOrderMark = "\ufeff"

// Write writes lines of a bow's story as a table, with times local to place. The error is the writer's.
func Write(w io.Writer, bow model.Bow, lines []session.Line, place *time.Location) error {
	bow = bow.AsKept()
	var rows []*cells
	for _, line := range lines {
		if !line.Counts() {
			continue
		}
		for _, row := range rowsOf(bow, line.Entry, place) {
			row.fields[columnPass] = fmt.Sprint(line.Pass)
			rows = append(rows, row)
		}
	}
	var b strings.Builder
	_ = csv.NewWriter(&b).WriteAll(records(bow, rows)) // a Builder never fails
	text := b.String()
	if strings.ContainsFunc(text, func(r rune) bool { return r > unicode.MaxASCII }) {
		text = byteOrderMark + text
	}
	_, err := io.WriteString(w, text)
	return err
}

// rowsOf returns an entry's row and those of the gaps under its block; none for a kind that has no row.
func rowsOf(bow model.Bow, entry model.Entry, place *time.Location) []*cells {
	first, known := kindNamed(kinds, string(entry.What.Kind()))
	if !known {
		return nil
	}
	row := func(k kind, what model.Event) *cells {
		fields := map[string]string{columnKind: k.name, columnEntry: defuse(entry.ID)}
		if !entry.At.IsZero() {
			fields[columnTime] = writeTime(entry.At, place)
		}
		c := &cells{bow: bow, writing: true, fields: fields}
		k.exchange(c, what)
		return c
	}
	rows := []*cells{row(first, entry.What)}
	if braced, isBraced := entry.What.(model.Braced); isBraced && braced.Block != nil {
		block, _ := kindNamed(kinds, kindBlock)
		for _, part := range partsOf(*braced.Block) {
			rows = append(rows, row(block, model.Braced{Block: &part}))
		}
	}
	return rows
}

// records are rows under their headings.
func records(bow model.Bow, rows []*cells) [][]string {
	filled := filledColumns(bow, rows)
	all := make([][]string, 1, 1+len(rows))
	for _, c := range filled {
		all[0] = append(all[0], heading(bow, c))
	}
	for _, row := range rows {
		var record []string
		for _, c := range filled {
			record = append(record, row.fields[c.name])
		}
		for _, r := range row.readings {
			record[slices.Index(filled, r.column)] = decimal(r.l.In(bow.Units.Length))
		}
		all = append(all, record)
	}
	return all
}

// filledColumns returns the columns that some row fills, those of every table, and the bow's stations.
func filledColumns(bow model.Bow, rows []*cells) []column {
	var filled, stations []column
	for _, side := range model.Sides {
		for _, at := range bow.Limbs[side].Stations {
			stations = append(stations, column{station: true, side: side, at: at})
		}
	}
	for _, row := range rows {
		for _, r := range row.readings {
			stations = append(stations, r.column)
		}
	}
	slices.SortFunc(stations, func(a, b column) int {
		return cmp.Or(cmp.Compare(a.side, b.side), cmp.Compare(a.at, b.at))
	})
	always := []string{columnTime, columnPass, columnKind, "draw", "peak"}
	for _, c := range columns {
		hasCell := func(row *cells) bool { return row.fields[c.name] != "" }
		switch {
		case c.station:
			filled = append(filled, slices.Compact(stations)...)
		case slices.Contains(always, c.name) || slices.ContainsFunc(rows, hasCell):
			filled = append(filled, c)
		}
	}
	return filled
}
