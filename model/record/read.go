package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"unicode/utf8"

	"bendbook/model"
	"bendbook/model/measure"
)

// Reader reads the records of a file, one after another.
type Reader struct {
	dec *json.Decoder
	n   int
}

// NewReader reads records from r: a single document, or many in sequence (JSON Lines).
func NewReader(r io.Reader) *Reader { return &Reader{dec: json.NewDecoder(r)} }

// Next is the next record; io.EOF after the last. An error names the field at fault; after one the reader
// cannot go on.
func (r *Reader) Next() (Record, error) {
	var doc json.RawMessage
	if err := r.dec.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) && r.n > 0 {
			return Record{}, io.EOF
		}
		return Record{}, r.explain(err)
	}
	r.n++
	rec, err := Parse(doc)
	if err != nil && r.n > 1 {
		return Record{}, fmt.Errorf("record %d: %w", r.n, err)
	}
	return rec, err
}

// explain says in plain words why the input is no JSON.
func (r *Reader) explain(err error) error {
	var syntax *json.SyntaxError
	switch {
	case errors.Is(err, io.EOF):
		return fieldError("", "it is empty; expected a bow record (JSON)")
	case errors.Is(err, io.ErrUnexpectedEOF):
		return fieldError("", "it ends in the middle of a record; expected the rest of it")
	case errors.As(err, &syntax):
		return fieldError("", "it is not JSON at byte %d (%v); expected a bow record", syntax.Offset, syntax)
	}
	return fmt.Errorf("reading the record: %w", err)
}

// Parse reads one record. The error is a *model.FieldError, or wraps ErrNewer.
func Parse(doc []byte) (Record, error) {
	if !utf8.Valid(doc) {
		return Record{}, fieldError("", "it is not UTF-8 text; expected a bow record (JSON)")
	}
	var top map[string]json.RawMessage
	if err := json.Unmarshal(doc, &top); err != nil || top == nil {
		return Record{}, fieldError("", "expected a bow record, a JSON object with the field format")
	}
	var head struct {
		Format  string         `json:"format"`
		Version int            `json:"version"`
		Units   *measure.Units `json:"units"`
	}
	if err := unmarshal(doc, &head); err != nil {
		return Record{}, err
	}
	if head.Format != Format {
		return Record{}, fieldError("format", "%q is not a bow record; expected %q", shorten(head.Format), Format)
	}
	if head.Version > Version {
		return Record{}, fmt.Errorf("version: %d: %w; expected %d at the most", head.Version, ErrNewer, Version)
	}
	if head.Version < 1 {
		return Record{}, fieldError("version", "expected %d", Version)
	}
	if head.Units == nil {
		return Record{}, fieldError("units", `missing; expected {"length": "in", "force": "lbf"} or the like`)
	}
	if err := head.Units.Check(); err != nil {
		return Record{}, fieldError("", "units.%v", err)
	}
	desc, err := ParseDescription(top["bow"], *head.Units)
	if err != nil {
		return Record{}, within("bow", err)
	}
	var docs []json.RawMessage
	if raw, present := top["entries"]; present {
		if err := json.Unmarshal(raw, &docs); err != nil {
			return Record{}, fieldError("entries", "expected a list of entries")
		}
	}
	maps.DeleteFunc(top, func(name string, _ json.RawMessage) bool {
		switch name {
		case "format", "version", "units", "bow", "entries":
			return true
		}
		return false
	})
	if len(top) > 0 {
		desc.Extra = top
	}
	items, err := parseItems(docs, desc)
	if err != nil {
		return Record{}, err
	}
	return Record{Description: desc, Items: items}, nil
}

// parseItems reads the entries in order. Each is checked against the bow as the edits before it left it.
func parseItems(docs []json.RawMessage, desc Description) ([]Item, error) {
	items := make([]Item, 0, len(docs))
	current := desc
	seen := make(map[string]int)
	for i, doc := range docs {
		path := fmt.Sprintf("entries[%d]", i)
		item, err := ParseItem(doc, desc.Bow.Units)
		if err != nil {
			return nil, within(path, err)
		}
		if item.Entry.ID == "" {
			item.Entry.ID = derivedID(desc.Bow.ID, item.Doc, seen)
		} else if seen[item.Entry.ID]++; seen[item.Entry.ID] > 1 {
			return nil, fieldError(path+".id", "%q stands twice; expected each entry's own", shorten(item.Entry.ID))
		}
		if edit, isEdit := item.Entry.What.(model.Edit); isEdit {
			if current, err = current.Edited(edit); err != nil {
				return nil, within(path+".set", err)
			}
		}
		if err := current.Bow.CheckEvent(item.Entry.What); err != nil {
			return nil, within(path, err)
		}
		items = append(items, item)
	}
	return items, nil
}

// ParseDescription reads a record's "bow" object, whose numbers are in the given units.
func ParseDescription(doc json.RawMessage, units measure.Units) (Description, error) {
	var d bowDoc
	if len(doc) == 0 || doc[0] != '{' {
		return Description{}, fieldError("", "missing; expected an object that describes the bow")
	}
	if err := unmarshal(doc, &d); err != nil {
		return Description{}, err
	}
	bow, err := d.bow(units)
	if err != nil {
		return Description{}, err
	}
	if err := bow.Check(); err != nil {
		return Description{}, err
	}
	return Description{Bow: bow, Doc: compact(doc)}, nil
}

// ParseItem reads one entry, whose numbers are in the given units. What needs the bow to be judged is left to model.Bow.CheckEvent.
func ParseItem(doc json.RawMessage, units measure.Units) (Item, error) {
	var head headDoc
	if len(doc) == 0 || doc[0] != '{' {
		return Item{}, fieldError("", "expected an object with the field kind")
	}
	if err := unmarshal(doc, &head); err != nil {
		return Item{}, err
	}
	at, err := head.time()
	if err != nil {
		return Item{}, err
	}
	if len(head.ID) > longestID {
		return Item{}, fieldError("id", "it is longer than %d bytes", longestID)
	}
	what, err := parseEvent(doc, model.Kind(head.Kind), reader{units})
	if err != nil {
		return Item{}, err
	}
	return Item{Entry: model.Entry{ID: head.ID, At: at, What: what}, Doc: compact(doc)}, nil
}

// unmarshal decodes doc and turns a mismatch of types into a model.FieldError.
func unmarshal(doc []byte, into any) error {
	err := json.Unmarshal(doc, into)
	var mismatch *json.UnmarshalTypeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &mismatch):
		return fieldError(mismatch.Field, "found %s; expected %s", article(mismatch.Value), typeName(mismatch.Type))
	}
	return fieldError("", "%v", err)
}

func compact(doc json.RawMessage) json.RawMessage {
	var b bytes.Buffer
	if err := json.Compact(&b, doc); err != nil {
		return doc
	}
	return b.Bytes()
}
