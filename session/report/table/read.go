package table

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/session"
)

// Read reads a table (CSV, in UTF-8) of a bow. Times without an offset are local to place. The error says why
// the file is no table; what is wrong with one row is in its Fault.
func Read(in io.Reader, bow model.Bow, place *time.Location) (Understood, error) {
	buffered := bufio.NewReader(in)
	if start, _ := buffered.Peek(len(byteOrderMark)); string(start) == byteOrderMark {
		_, _ = buffered.Discard(len(byteOrderMark))
	}
	from := csv.NewReader(buffered)
	// The separator is what the first row has most of: comma, semicolon or tab. Peek may return less.
	start, _ := buffered.Peek(4096)
	start, _, _ = bytes.Cut(start, []byte("\n"))
	for _, other := range ";\t" {
		if bytes.Count(start, []byte(string(other))) > bytes.Count(start, []byte(string(from.Comma))) {
			from.Comma = other
		}
	}
	from.FieldsPerRecord = -1
	head, err := from.Read()
	switch {
	case errors.Is(err, io.EOF):
		return Understood{}, errors.New("it is empty; expected a table (CSV) whose first row names the columns")
	case err != nil:
		return Understood{}, noTable(err)
	}
	r := reader{bow: bow, place: place, entries: make(map[string]int)}
	if err := r.headings(head); err != nil {
		return Understood{}, err
	}
	for {
		record, err := from.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return Understood{}, noTable(err)
		}
		line, _ := from.FieldPos(0)
		if strings.TrimSpace(strings.Join(record, "")) == "" {
			continue
		}
		if len(r.out.Rows) == mostRows {
			return Understood{}, fmt.Errorf("it has more than %d rows", mostRows)
		}
		r.row(line, record)
	}
	for i, row := range r.out.Rows {
		r.out.Rows[i].Says = session.Say(bow, model.Unknown{})
		if row.Entry.What != nil {
			r.out.Rows[i].Says = session.Say(bow, row.Entry.What)
		}
	}
	return r.out, nil
}

func noTable(err error) error {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		return fmt.Errorf("line %d: %w; expected a table (CSV)", parse.Line, parse.Err)
	}
	return fmt.Errorf("reading the table: %w", err)
}
