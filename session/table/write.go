package table

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"maps"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/session"
)

// byteOrderMark tells a spreadsheet that the letters are UTF-8. A table in plain ASCII goes without.
const byteOrderMark = "\ufeff"

// Write writes a story as a table: the whole of it where number is 0, else one session by its number from 1. Entries that
// were struck out are left out, and so are changes of the description and moves on the rack, which have no figures. Times are told
// in the given place's time. The error is the writer's, or says that there is no such session.
func Write(w io.Writer, story session.Story, number int, place *time.Location) error {
	lines := story.Lines
	if number != 0 {
		if number < 1 || number > len(story.Sessions) {
			return fmt.Errorf("there is no session %d; %s has %d", number, session.NameOf(story.Bow()), len(story.Sessions))
		}
		lines = story.LinesIn(story.Sessions[number-1])
	}
	bow := story.Bow().AsKept()
	var rows []row
	for _, line := range lines {
		if !line.Counts() {
			continue
		}
		of := rowsOf(bow, line.Entry, place)
		for i := range of {
			of[i].fields[fieldPass] = fmt.Sprint(line.Pass)
		}
		rows = append(rows, of...)
	}
	columns := columnsFor(bow, rows)
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	record := make([]string, len(columns))
	for i, c := range columns {
		record[i] = heading(bow, c)
	}
	all := append([][]string{record}, cells(columns, rows)...)
	if err := out.WriteAll(all); err != nil {
		return fmt.Errorf("writing the table: %w", err)
	}
	if bytes.ContainsFunc(b.Bytes(), func(r rune) bool { return r > 0x7f }) {
		if _, err := io.WriteString(w, byteOrderMark); err != nil {
			return err
		}
	}
	_, err := w.Write(b.Bytes())
	return err
}

// columnsFor are the columns that the rows fill, and those that a table always has.
func columnsFor(bow model.Bow, rows []row) []column {
	used := make(map[string]bool)
	places := make(map[station]bool)
	for _, side := range model.Sides {
		for _, at := range bow.Limbs[side].Stations {
			places[station{side, at}] = true
		}
	}
	for _, r := range rows {
		for field, value := range r.fields {
			used[field] = used[field] || value != ""
		}
		for place := range r.stations {
			places[place] = true
		}
	}
	var columns []column
	add := func(fields []string) {
		for _, field := range fields {
			if used[field] || slices.Contains(always, field) {
				columns = append(columns, column{name: field})
			}
		}
	}
	add(before)
	for _, place := range slices.SortedFunc(maps.Keys(places), func(a, b station) int {
		return cmp.Or(cmp.Compare(a.side, b.side), cmp.Compare(a.at, b.at))
	}) {
		columns = append(columns, column{station: true, side: place.side, at: place.at})
	}
	add(behind)
	return columns
}

func cells(columns []column, rows []row) [][]string {
	all := make([][]string, len(rows))
	for i, r := range rows {
		all[i] = make([]string, len(columns))
		for j, c := range columns {
			if c.station {
				all[i][j] = r.stations[station{c.side, c.at}]
			} else {
				all[i][j] = r.fields[c.name]
			}
		}
	}
	return all
}
