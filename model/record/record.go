// Package record reads and writes bow records: the files that bows travel in, and their entries in the book.
//
// A record is one JSON document per bow; a file of many bows has one record after another, usually one a
// line. Unknown fields and the spelling of numbers come out again as they came in.
package record

import (
	"bytes"
	_ "embed" // the schema
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"

	"bendbook/model"
	"bendbook/model/measure"
)

// What stands at the head of each record.
const (
	ourFormat  = "bendbook/record"
	ourVersion = 1
)

// Description is a bow as its record describes it.
type Description struct {
	Bow model.Bow       // what was understood
	Doc json.RawMessage // the record's "bow" object, compact
	// Extra are the unknown fields at the record's top, compact, and "units" if it says more than Bow.Units.
	Extra map[string]json.RawMessage
}

// Record is one bow with its entries in order.
type Record struct {
	Description
	Items []Item
}

// Item is an entry together with the document that says it.
type Item struct {
	Entry model.Entry
	Doc   json.RawMessage // the entry's object, compact
	Key   Key             // its place among the bow's entries; zero until it has one
}

// Describe describes a bow in its own units. The error is a *model.FieldError.
func Describe(bow model.Bow) (Description, error) {
	c := &codec{units: bow.Units, writing: true, err: bow.Check()}
	c.bow(&bow)
	return Description{Bow: bow, Doc: object(c.out)}, c.err
}

// NewItem writes a new entry of a bow that is described in the given units.
func NewItem(entry model.Entry, units measure.Units) (Item, error) {
	c := &codec{units: units, writing: true}
	kind := entry.What.Kind()
	c.head(&entry, &kind)
	c.event(kind, entry.What)
	if c.err != nil {
		return Item{}, fmt.Errorf("writing an entry: %w", c.err)
	}
	return Item{Entry: entry, Doc: object(c.out)}, nil
}

// Write writes the record for people to read, one entry a line.
func Write(w io.Writer, rec Record) error { return write(w, rec, false) }

// WriteLine writes the record on one line, for a file of many bows.
func WriteLine(w io.Writer, rec Record) error { return write(w, rec, true) }

func write(w io.Writer, rec Record, oneLine bool) error {
	doc, err := document(rec)
	if oneLine {
		doc = compact(doc)
	}
	if err == nil {
		_, err = w.Write(append(doc, '\n'))
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

//go:embed schema.json
var schema string

// Schema returns the JSON Schema (2020-12) of a record. It allows fields that this version doesn't know.
func Schema() string { return schema }
