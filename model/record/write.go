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
	doc, err := document(rec)
	if err != nil {
		return err
	}
	_, err = w.Write(append(doc, '\n'))
	return err
}

// WriteLine writes the record on one line, as a file of many bows has them.
func WriteLine(w io.Writer, rec Record) error {
	doc, err := document(rec)
	if err != nil {
		return err
	}
	_, err = w.Write(append(compact(doc), '\n'))
	return err
}

func document(rec Record) (json.RawMessage, error) {
	units, more := rec.Extra["units"]
	if !more {
		var err error
		if units, err = marshal(rec.Bow.Units); err != nil {
			return nil, fmt.Errorf("writing the record's units: %w", err)
		}
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "{\n  \"format\": %q,\n  \"version\": %d,\n  \"units\": %s,\n  \"bow\": ", Format, Version, units)
	if err := json.Indent(&b, rec.Doc, "  ", "  "); err != nil {
		return nil, fmt.Errorf("writing the bow: %w", err)
	}
	b.WriteString(",\n  \"entries\": [")
	for i, item := range rec.Items {
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, "\n    %s", item.Doc)
	}
	if len(rec.Items) > 0 {
		b.WriteString("\n  ")
	}
	b.WriteByte(']')
	for _, name := range slices.Sorted(maps.Keys(rec.Extra)) {
		if name == "units" {
			continue
		}
		quoted, err := marshal(name)
		if err != nil {
			return nil, fmt.Errorf("writing the record's field %s: %w", name, err)
		}
		fmt.Fprintf(&b, ",\n  %s: %s", quoted, rec.Extra[name])
	}
	b.WriteString("\n}")
	return b.Bytes(), nil
}
