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

// Understood is what Read makes of a table. Nothing of it is kept yet.
type Understood struct {
	Rows   []Row
	Unused []string // headings that mean nothing here; their cells are not read
}

// Row is what Read makes of one row.
type Row struct {
	Line int // of the file, from 1
	// Entry is what the row says. Where several rows make up an entry, it is whole in the first.
	Entry model.Entry
	Note  *model.Entry // a remark beside it, as an entry of its own; nil where there is none
	Says  string       // the same in words
	Of    int          // line of the row whose entry this one adds to, or 0
	Fault error        // why the row cannot be taken; nil where it can
}

// Faults counts the rows that cannot be taken.
func (u Understood) Faults() int {
	faults := 0
	for _, r := range u.Rows {
		if r.Fault != nil {
			faults++
		}
	}
	return faults
}

// Entries are the entries of the rows, in the order of the table.
func (u Understood) Entries() []model.Entry {
	var entries []model.Entry
	for _, r := range u.Rows {
		if r.Of == 0 && r.Fault == nil {
			entries = append(entries, r.Entry)
		}
		if r.Note != nil && r.Fault == nil {
			entries = append(entries, *r.Note)
		}
	}
	return entries
}

// How large a table may be: one bow's life has some hundreds of rows, and a bow some dozens of stations.
const (
	mostRows    = 200_000
	mostColumns = 1000
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

// headings reads the first row of a file.
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
				short(other), short(said), heading(r.bow, c))
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
	if k, known := kindNamed(kinds, kind); known {
		row.Entry.What = k.exchange(c, nil)
	} else {
		c.failf("%s", sayNoKind(kind))
	}
	// A remark beside a reading becomes a note behind it.
	if note := restore(c.take(columnNote)); strings.TrimSpace(note) != "" {
		row.Note = &model.Entry{At: row.Entry.At, What: model.Note{Text: note}}
	}
	if len(c.readings) > 0 {
		c.failf("%s: a row of the kind %s has no readings of stations", c.readings[0].named, kind)
	}
	for _, column := range columns {
		if c.fields[column.name] != "" {
			c.failf("%s: a row of the kind %s has none", column.name, kind)
		}
	}
	id := row.Entry.ID
	first, again := r.entries[id]
	switch {
	case c.fault != nil:
		row.Fault = c.fault
	case again:
		row.Of = r.out.Rows[first].Line
		row.Fault = r.join(&r.out.Rows[first], kind, row.Entry.What)
	default:
		row.Fault = r.inColumns(r.bow.CheckEvent(row.Entry.What))
	}
	if row.Of == 0 && id != "" {
		r.entries[id] = len(r.out.Rows)
	}
	r.out.Rows = append(r.out.Rows, row)
}

// cells sorts the cells of a row that aren't empty by their columns.
func (r *reader) cells(record []string) *cells {
	c := &cells{bow: r.bow, fields: make(map[string]string), columns: make(map[string]column)}
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

// kind is the kind that the row names, or that its cells give away; "" where neither does.
func (c *cells) kind() string {
	kind := ""
	if c.Word(columnKind, &kind); kind != "" {
		return kind
	}
	for _, k := range kinds {
		for _, sign := range k.signs {
			// A row with gaps under a block may have a brace height too.
			if c.fields[sign] != "" && (sign != "brace height" || c.fields[kindBlock] == "") {
				return k.name
			}
		}
	}
	return ""
}

func sayNoKind(named string) string {
	if named == "" {
		return "it does not say what was done; expected a kind such as pull, braced, relaxed or scrape, or a draw"
	}
	var names []string
	for _, k := range kinds {
		names = append(names, k.name)
	}
	last := len(names) - 1
	some := strings.Join(names[:last], ", ")
	return fmt.Sprintf("kind: %q; expected %s or %s", short(plain.Line(named)), some, names[last])
}

// inColumns replaces a record's field in an error by the table's column.
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

// join adds the gaps under a block to the braced bow of the same entry, whose row is first.
func (r *reader) join(first *Row, kind string, what model.Event) error {
	if kind != kindBlock {
		return fmt.Errorf("its entry stands in line %d already", first.Line)
	}
	braced, isBraced := first.Entry.What.(model.Braced)
	if !isBraced {
		return fmt.Errorf("its entry is no braced bow in line %d", first.Line)
	}
	block := *what.(model.Braced).Block
	if have := braced.Block; have != nil {
		if have.Length != block.Length {
			return fmt.Errorf("its block is not the one of line %d", first.Line)
		}
		block = joined(*have, block)
	}
	braced.Block = &block
	if err := r.bow.CheckEvent(braced); err != nil {
		return err
	}
	first.Entry.What = braced
	return nil
}
