package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"bendbook/model"
)

// member is one field of a JSON object, its value as it was written.
type member struct {
	name  string
	value json.RawMessage
}

func isObject(doc json.RawMessage) bool { return len(doc) > 0 && doc[0] == '{' }

// members are the fields of an object in order. doc must be a valid JSON object.
func members(doc json.RawMessage) (fields []member) {
	dec := json.NewDecoder(bytes.NewReader(doc))
	_, err := dec.Token() // the opening brace
	for err == nil && dec.More() {
		var m member
		name, _ := dec.Token()
		m.name, _ = name.(string)
		err = dec.Decode(&m.value)
		fields = append(fields, m)
	}
	return fields
}

// object writes fields as one compact object.
func object(fields []member) json.RawMessage {
	b := []byte{'{'}
	for i, m := range fields {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(append(append(b, quoted(m.name)...), ':'), m.value...)
	}
	return append(b, '}')
}

// Marshal writes v compactly and leaves <, > and & as they are.
func Marshal(v any) (json.RawMessage, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return bytes.TrimRight(b.Bytes(), "\n"), err
}

func quoted(text string) json.RawMessage {
	doc, _ := Marshal(text) // any text can be written
	return doc
}

// compact leaves out white space. doc must be valid JSON.
func compact(doc json.RawMessage) json.RawMessage {
	var b bytes.Buffer
	_ = json.Compact(&b, doc)
	return b.Bytes()
}

// within puts the path of the enclosing field before the field of err.
func within(path string, err error) error {
	var field *model.FieldError
	if errors.As(err, &field) {
		return field.Within(path)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}

// unmarshal decodes doc and turns a mismatch of types into a model.FieldError.
func unmarshal(doc []byte, into any) error {
	if err := json.Unmarshal(doc, into); err != nil {
		return model.JSONFault(err, "a bow record")
	}
	return nil
}
