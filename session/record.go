package session

import (
	"bytes"
	"encoding/json"
	"maps"
	"reflect"

	"bendbook/model/record"
)

// firstField is a further field of a record whose entries change the bow's description: what that was before
// them. "bow" says what it is now, for readers that know no changes.
const firstField = "bow_first"

// Record is the story as its record.
func (s Story) Record() record.Record {
	rec := record.Record{Description: s.Desc, Items: make([]record.Item, len(s.Lines))}
	for i, line := range s.Lines {
		rec.Items[i] = line.Item
	}
	if _, taken := rec.Extra[firstField]; !taken && !bytes.Equal(s.first.Doc, s.Desc.Doc) {
		rec.Extra = maps.Clone(rec.Extra)
		if rec.Extra == nil {
			rec.Extra = make(map[string]json.RawMessage)
		}
		rec.Extra[firstField] = s.first.Doc
	}
	return rec
}

// AsFirst is the record with the bow as first described, if its entries make of that what it describes.
func AsFirst(rec record.Record) record.Record {
	doc, present := rec.Extra[firstField]
	if !present {
		return rec
	}
	first, err := record.ParseDescription(doc, rec.Bow.Units)
	if err != nil {
		return rec
	}
	first.Extra = maps.Clone(rec.Extra)
	if delete(first.Extra, firstField); len(first.Extra) == 0 {
		first.Extra = nil
	}
	if reflect.DeepEqual(Fold(first, rec.Items).Bow(), rec.Bow) {
		rec.Description = first
	}
	return rec
}
