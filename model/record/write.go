package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
)

// Write writes the record as a document that reads well, its entries one a line.
func Write(w io.Writer, rec Record) error {
	return write(w, rec, layout{open: "{\n  ", next: ",\n  ", colon: ": ", item: "\n    ", end: "\n  ",
		shut: "\n}\n", indent: "  "})
}

// WriteLine writes the record on one line, as a file of many bows has them.
func WriteLine(w io.Writer, rec Record) error {
	return write(w, rec, layout{open: "{", next: ",", colon: ":", shut: "}\n"})
}

// layout is the white space between the parts of a record.
type layout struct {
	open, next, colon string // before the first field, before each further one, between name and value
	item, end         string // before each entry, and after the last
	shut              string
	indent            string // of the bow's fields; "" keeps them on one line
}

func write(w io.Writer, rec Record, l layout) error {
	var b bytes.Buffer
	field := func(name string, value json.RawMessage) {
		b.WriteString(l.next)
		fmt.Fprintf(&b, "%s%s%s", name, l.colon, value)
	}
	units, more := rec.Extra["units"]
	if !more {
		var err error
		if units, err = marshal(rec.Bow.Units); err != nil {
			return fmt.Errorf("writing the record's units: %w", err)
		}
	}
	fmt.Fprintf(&b, "%s\"format\"%s%q", l.open, l.colon, Format)
	field(`"version"`, fmt.Appendf(nil, "%d", Version))
	field(`"units"`, units)
	bow := bytes.NewBuffer(nil)
	if l.indent == "" {
		bow.Write(rec.Doc)
	} else if err := json.Indent(bow, rec.Doc, l.indent, l.indent); err != nil {
		return fmt.Errorf("writing the bow: %w", err)
	}
	field(`"bow"`, bow.Bytes())
	field(`"entries"`, entryList(rec.Items, l))
	for _, name := range slices.Sorted(maps.Keys(rec.Extra)) {
		if name == "units" {
			continue
		}
		quoted, err := marshal(name)
		if err != nil {
			return fmt.Errorf("writing the record's field %s: %w", name, err)
		}
		field(string(quoted), rec.Extra[name])
	}
	b.WriteString(l.shut)
	_, err := w.Write(b.Bytes())
	return err
}

func entryList(items []Item, l layout) json.RawMessage {
	var b bytes.Buffer
	b.WriteByte('[')
	for i, item := range items {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(l.item)
		b.Write(item.Doc)
	}
	if len(items) > 0 {
		b.WriteString(l.end)
	}
	b.WriteByte(']')
	return b.Bytes()
}
