package table

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"

	"bendbook/model"
)

// Rows is what Read makes of a table. Nothing of it is kept yet.
type Rows []tableRow

// tableRow is what Read makes of one row.
type tableRow struct {
	Line  int         // of the file, from 1
	Entry model.Entry // with the gaps under its block, which have a row of their own
	Of    int         // line of the row whose entry this one adds a block to, or 0
	Fault error       // why the row cannot be taken; nil where it can
}

// Entries are the entries of the rows, in the order of the table. It counts the rows that cannot be taken.
func (rows Rows) Entries() (entries []model.Entry, faults int) {
	for _, r := range rows {
		switch {
		case r.Fault != nil:
			faults++
		case r.Of == 0:
			entries = append(entries, r.Entry)
		}
	}
	return entries, faults
}

// mostColumns is past any table: a bow has some dozens of stations.
const mostColumns = 1000

type reader struct {
	bow      model.Bow
	place    *time.Location
	headings []heading
	rows     Rows
	entries  map[string]int // by id, the index of the row that an entry began with
}

// Read reads a table (CSV, in UTF-8) of a bow. Times without an offset are local to place in a row that was
// added; one that Write wrote is refused without. The error says why the file is no table; what is wrong with
// one row is in its Fault.
func Read(in io.Reader, bow model.Bow, place *time.Location) (Rows, error) {
	file, err := io.ReadAll(in)
	if err != nil {
		return nil, fmt.Errorf("reading the table: %w", err)
	}
	if !utf8.Valid(file) {
		return nil, errors.New("it isn't in UTF-8; save it as a table (CSV) in UTF-8")
	}
	text := strings.TrimPrefix(string(file), byteOrderMark)
	from := csv.NewReader(strings.NewReader(text))
	from.FieldsPerRecord = -1
	from.Comma = separator(text)
	r := reader{bow: bow, place: place, entries: make(map[string]int)}
	for {
		cells, err := from.Read()
		var parse *csv.ParseError
		switch {
		case errors.Is(err, io.EOF) && r.headings == nil:
			return nil, errors.New("it is empty: give a table (CSV) whose first row names the columns")
		case errors.Is(err, io.EOF):
			return r.rows, nil
		case errors.As(err, &parse):
			return nil, fmt.Errorf("line %d: %w: save it as CSV again", parse.Line, parse.Err)
		case r.headings == nil:
			if err := r.readHeadings(cells); err != nil {
				return nil, err
			}
		case strings.TrimSpace(strings.Join(cells, "")) != "":
			line, _ := from.FieldPos(0)
			r.readRow(line, cells)
		}
	}
}

// separator is what the first row has most of: comma, semicolon or tab.
func separator(text string) rune {
	head, _, _ := strings.Cut(text, "\n")
	best := ','
	for _, other := range ";\t" {
		if strings.Count(head, string(other)) > strings.Count(head, string(best)) {
			best = other
		}
	}
	return best
}

func (r *reader) readHeadings(head []string) error {
	if len(head) > mostColumns {
		return fmt.Errorf("it has %d columns: leave %d at most", len(head), mostColumns)
	}
	seen := make(map[column]string)
	for _, text := range head {
		h, known := parseHeading(text, r.bow.Units)
		other, twice := seen[h.column]
		switch {
		case strings.TrimSpace(text) == "":
			h = noHeading()
		case !known:
			return fmt.Errorf("no column is called %q; rename it or take it out, see bendbook help table", h.named)
		case twice:
			return fmt.Errorf("the columns %q and %q would both be the %s: leave out one",
				other, h.named, h.heading(r.bow.Units))
		default:
			seen[h.column] = h.named
		}
		r.headings = append(r.headings, h)
	}
	if _, has := seen[column{name: columnKind}]; !has {
		return errors.New("the column kind is missing: write headings such as time, kind, draw, peak, upper 6")
	}
	return nil
}

func (r *reader) readRow(line int, cells []string) {
	parsed := row{reader: r}
	taken := tableRow{Line: line}
	taken.Entry, taken.Fault = parsed.entry(cells)
	id := taken.Entry.ID
	if first, again := r.entries[id]; again && taken.Fault == nil {
		taken.Of = r.rows[first].Line
		taken.Fault = r.join(&r.rows[first], parsed.kind, taken.Entry.What)
	} else if id != "" {
		r.entries[id] = len(r.rows)
	}
	r.rows = append(r.rows, taken)
}

// join adds the gaps under a block to the braced bow of the same entry, whose row is first.
func (r *reader) join(first *tableRow, kind string, what model.Event) error {
	braced, isBraced := first.Entry.What.(model.Braced)
	if kind != kindBlock || !isBraced || braced.Block != nil {
		return fmt.Errorf("entry: line %d has it already; leave it empty for a new entry", first.Line)
	}
	braced.Block = what.(model.Braced).Block
	if err := r.bow.CheckEvent(braced); err != nil {
		return err
	}
	first.Entry.What = braced
	return nil
}
