package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
)

// Write writes the record for people to read, one entry a line.
func Write(w io.Writer, rec Record) error {
	doc, err := document(rec)
	if err == nil {
		_, err = w.Write(append(doc, '\n'))
	}
	return err
}

// WriteLine writes the record on one line, for a file of many bows.
func WriteLine(w io.Writer, rec Record) error {
	doc, err := document(rec)
	if err == nil {
		_, err = w.Write(append(compact(doc), '\n'))
	}
	return err
}

func document(rec Record) (json.RawMessage, error) {
	units, more := rec.Extra["units"]
	if !more {
		units, _ = Marshal(rec.Bow.Units) // two texts
	}
	var b bytes.Buffer
	const head = "{\n  \"format\": %q,\n  \"version\": %d,\n  \"units\": %s,\n  \"bow\": "
	fmt.Fprintf(&b, head, ourFormat, ourVersion, units)
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
		if name != "units" {
			fmt.Fprintf(&b, ",\n  %s: %s", quoted(name), rec.Extra[name])
		}
	}
	b.WriteString("\n}")
	return b.Bytes(), nil
}
