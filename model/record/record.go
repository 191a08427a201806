// Package record is the bow record: how a bow travels as a file, and how its entries stand in the book.
//
// A record is one JSON document per bow; a file of many bows has one record after another, usually one a
// line. What is read keeps its own text: fields that this version does not know, and the spelling of numbers,
// come out again as they came in.
package record

import (
	"encoding/json"
	"fmt"

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
	// Extra are the fields at the record's top that this version does not know, compact; "units" is among
	// them where the record says more of its units than Bow.Units holds.
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

// Describe is the description of a new bow, in the bow's own units.
func Describe(bow model.Bow) (Description, error) {
	if err := bow.Check(); err != nil {
		return Description{}, err
	}
	doc, err := bowDocument(bow)
	return Description{Bow: bow, Doc: doc}, err
}

// bowDocument is the document of a bow in its own units.
func bowDocument(bow model.Bow) (json.RawMessage, error) {
	c := &codec{units: bow.Units, writing: true}
	c.bow(&bow)
	if c.err != nil {
		return nil, fmt.Errorf("writing the bow's description: %w", c.err)
	}
	return object(c.out), nil
}

// NewItem is a new entry of a bow that is described in the given units.
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
