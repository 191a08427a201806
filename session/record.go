package session

import (
	"bytes"
	"encoding/json"
	"maps"
	"reflect"

	"bendbook/model/record"
)

// firstField is a further field of a record whose entries change the bow's description: what that was before
// them. "bow" says what it is now, for readers that know no changes; made upon their own outcome again,
// changes of which one only fits the bow as it was then would leave another bow.
const firstField = "bow_first"

// Record is the story as its record.
func (s Story) Record() record.Record {
	rec := record.Record{Description: s.Desc, Items: make([]record.Item, len(s.Lines))}
	for i, line := range s.Lines {
		rec.Items[i] = line.Item
	}
	if !bytes.Equal(s.first.Doc, s.Desc.Doc) {
		rec = withField(rec, firstField, s.first.Doc)
	}
	return rec
}

// withField is a record with a further field, unless it has one of that name from elsewhere.
func withField(rec record.Record, field string, doc json.RawMessage) record.Record {
	if _, taken := rec.Extra[field]; taken {
		return rec
	}
	rec.Extra = maps.Clone(rec.Extra)
	if rec.Extra == nil {
		rec.Extra = make(map[string]json.RawMessage)
	}
	rec.Extra[field] = doc
	return rec
}

// AsFirst is the record with the bow as it was first described, where the record says that and its entries
// make of it what the record describes.
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
	if !reflect.DeepEqual(Fold(first, rec.Items).Bow(), rec.Bow) {
		return rec
	}
	rec.Description = first
	return rec
}
