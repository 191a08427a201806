package session

import (
	"encoding/json"
	"maps"

	"bendbook/model/record"
)

// placesField is a further field of a record: the keys, by ids, of entries whose place in the book follows neither from
// what they say nor from those before them in the record, as where several records without ids and times were brought
// together. Another book gives them the same place, so that both tell the same story whatever comes to them later.
const placesField = "entry_keys"

// placesOf are the keys of items, in order, that a book which took them in anew would not give them; nil where there are none.
func placesOf(items []record.Item) map[string]string {
	own := true
	for _, item := range items {
		key, isKey := record.KeyOf(item.Entry.ID)
		own = own && isKey && key == item.Key
	}
	if own {
		return nil
	}
	bare := make([]record.Item, len(items))
	for i, item := range items {
		item.Key = record.Key{}
		bare[i] = item
	}
	var places map[string]string
	for i, item := range record.Merge(nil, bare).Add {
		if key := items[i].Key; key != item.Key {
			if places == nil {
				places = make(map[string]string)
			}
			places[item.Entry.ID] = key.String()
		}
	}
	return places
}

// placed is the record with the keys that it names given to its entries, and without the field that names them.
func placed(rec record.Record) record.Record {
	var places map[string]string
	if json.Unmarshal(rec.Extra[placesField], &places) != nil {
		return rec
	}
	rec.Extra = maps.Clone(rec.Extra)
	if delete(rec.Extra, placesField); len(rec.Extra) == 0 {
		rec.Extra = nil
	}
	for i, item := range rec.Items {
		if key, isKey := record.KeyOf(places[item.Entry.ID]); isKey {
			rec.Items[i].Key = key
		}
	}
	return rec
}
