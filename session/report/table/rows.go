package table

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/plain"
)

// reader turns rows into entries.
type reader struct {
	bow     model.Bow
	place   *time.Location
	columns []column
	named   []string       // the columns as the file names them
	entries map[string]int // by id, the index of the row that an entry began with
	out     Understood
}

func (r *reader) headings(head []string) error {
	if len(head) > mostColumns {
		return fmt.Errorf("it has %d columns; expected %d at most", len(head), mostColumns)
	}
	seen := make(map[column]string)
	useful := false
	rowsOwn := []string{columnTime, columnDate, columnEntry, columnPass}
	for _, text := range head {
		c, known := parseHeading(r.bow, text)
		said := plain.Line(text)
		r.columns, r.named = append(r.columns, c), append(r.named, said)
		if !known {
			if said != "" {
				r.out.Unused = append(r.out.Unused, short(said))
			}
			continue
		}
		useful = useful || !slices.Contains(rowsOwn, c.name)
		c.length, c.force = "", ""
		if other, twice := seen[c]; twice {
			return fmt.Errorf("the columns %q and %q would both be the %s; expected it once",
				short(other), short(said), strings.TrimSpace(heading(r.bow, c)))
		}
		seen[c] = said
	}
	if !useful {
		return errors.New("its first row names no column of readings; " +
			"expected headings such as time, kind, draw, peak, upper 6, lower 6")
	}
	return nil
}

// row takes one row.
func (r *reader) row(line int, record []string) {
	c := r.cells(record)
	row := Row{Line: line, Entry: model.Entry{ID: restore(c.take(columnEntry)), At: c.time(r.place)}}
	c.take(columnPass) // follows from the scrapes
	kind := c.kind()
	switch k, known := kindNamed(kinds, kind); {
	case known:
		row.Entry.What = k.exchange(c, nil)
	case kind == "":
		c.failf("it does not say what was done; expected a kind such as pull, braced, relaxed or scrape, or a draw")
	default:
		var names []string
		for _, k := range kinds {
			names = append(names, k.name)
		}
		last := len(names) - 1
		some := strings.Join(names[:last], ", ")
		c.failf("kind: %q; expected %s or %s", short(plain.Line(kind)), some, names[last])
	}
	if !c.used[columnNote] {
		// A remark beside a reading becomes a note behind it.
		if note := restore(c.take(columnNote)); strings.TrimSpace(note) != "" {
			row.Note = &model.Entry{At: row.Entry.At, What: model.Note{Text: note}}
		}
	}
	if len(c.readings) > 0 {
		c.failf("%s: a row of the kind %s has no readings of stations", c.readings[0].named, kind)
	}
	for _, column := range columns {
		if c.fields[column.name] != "" && !c.used[column.name] {
			c.failf("%s: a row of the kind %s has none", column.name, kind)
		}
	}
	id := row.Entry.ID
	first, again := r.entries[id]
	switch {
	case again && id != "" && c.fault == nil:
		row.Of = r.out.Rows[first].Line
		row.Fault = r.join(first, kind, row.Entry.What)
	case c.fault != nil:
		row.Fault = c.fault
	default:
		row.Fault = r.inColumns(r.bow.CheckEvent(row.Entry.What))
	}
	if row.Of == 0 && id != "" {
		r.entries[id] = len(r.out.Rows)
	}
	r.out.Rows = append(r.out.Rows, row)
}

// cells are those of a row that aren't empty, under their columns.
func (r *reader) cells(record []string) *cells {
	c := &cells{
		bow: r.bow, fields: make(map[string]string), columns: make(map[string]column), used: make(map[string]bool),
	}
	for i, cell := range record {
		blank := strings.TrimSpace(cell) == ""
		switch {
		case i >= len(r.columns) && !blank:
			c.failf("there are more cells than columns: %q stands beyond the last", short(plain.Line(cell)))
			return c
		case i >= len(r.columns), cell == "", blank && !r.columns[i].words:
		case r.columns[i].station:
			l, err := c.parseLength(r.columns[i], cell)
			if err != nil {
				c.failf("%s: %w", r.named[i], err)
			}
			c.readings = append(c.readings, reading{r.columns[i], l, r.named[i]})
		case r.columns[i].name != "":
			c.fields[r.columns[i].name], c.columns[r.columns[i].name] = cell, r.columns[i]
		}
	}
	return c
}

// kind is what the row names itself, or else what its cells can only be.
func (c *cells) kind() string {
	if kind := strings.ToLower(strings.TrimSpace(restore(c.take(columnKind)))); kind != "" {
		return kind
	}
	for _, k := range kinds {
		for _, sign := range k.signs {
			// A row with the gaps under a block may say at which height the bow was braced.
			if c.fields[sign] != "" && (sign != "brace height" || c.fields[kindBlock] == "") {
				return k.name
			}
		}
	}
	return ""
}

// inColumns names the column of the table where an error names a field of a record.
func (r *reader) inColumns(err error) error {
	var fault *model.FieldError
	if !errors.As(err, &fault) {
		return err
	}
	for _, side := range model.Sides {
		for i, at := range r.bow.Limbs[side].Stations {
			if fault.Field == fmt.Sprintf("%s[%d]", side, i) {
				named := heading(r.bow, column{station: true, side: side, at: at})
				return &model.FieldError{Field: named, Want: fault.Want}
			}
		}
	}
	return err
}

// join adds the gaps under a block to the braced bow of the same entry.
func (r *reader) join(first int, kind string, what model.Event) error {
	line := r.out.Rows[first].Line
	if kind != kindBlock {
		return fmt.Errorf("its entry stands in line %d already", line)
	}
	braced, isBraced := r.out.Rows[first].Entry.What.(model.Braced)
	if !isBraced {
		return fmt.Errorf("its entry is no braced bow in line %d", line)
	}
	block := *what.(model.Braced).Block
	if have := braced.Block; have != nil {
		if have.Length != block.Length {
			return fmt.Errorf("its block is not the one of line %d", line)
		}
		block = joined(*have, block)
	}
	braced.Block = &block
	if err := r.bow.CheckEvent(braced); err != nil {
		return err
	}
	r.out.Rows[first].Entry.What = braced
	return nil
}
