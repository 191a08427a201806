package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
)

// member is one field of a JSON object, its value as it was written.
type member struct {
	name  string
	value json.RawMessage
}

// mergePatch is the document with a merge patch (RFC 7396) upon it. Fields keep their order, new ones stand
// last in the order of the patch, and what the patch does not touch keeps its text. Both must be valid JSON.
func mergePatch(doc, patch json.RawMessage) (json.RawMessage, error) {
	if !isObject(patch) {
		return patch, nil
	}
	changes, err := members(patch)
	if err != nil {
		return nil, err
	}
	var fields []member
	if isObject(doc) {
		if fields, err = members(doc); err != nil {
			return nil, err
		}
	}
	for _, change := range changes {
		at := slices.IndexFunc(fields, func(m member) bool { return m.name == change.name })
		if string(change.value) == "null" {
			if at >= 0 {
				fields = slices.Delete(fields, at, at+1)
			}
			continue
		}
		if at < 0 {
			at = len(fields)
			fields = append(fields, member{name: change.name})
		}
		if fields[at].value, err = mergePatch(fields[at].value, change.value); err != nil {
			return nil, err
		}
	}
	return object(fields)
}

func isObject(doc json.RawMessage) bool { return len(doc) > 0 && doc[0] == '{' }

// members are the fields of an object in order.
func members(doc json.RawMessage) ([]member, error) {
	dec := json.NewDecoder(bytes.NewReader(doc))
	if _, err := dec.Token(); err != nil {
		return nil, fmt.Errorf("reading an object: %w", err)
	}
	var fields []member
	for dec.More() {
		name, err := dec.Token()
		if err != nil {
			return nil, fmt.Errorf("reading a field's name: %w", err)
		}
		m := member{name: name.(string)}
		if err := dec.Decode(&m.value); err != nil {
			return nil, fmt.Errorf("reading the field %s: %w", spellName(m.name), err)
		}
		fields = append(fields, m)
	}
	return fields, nil
}

// object writes fields as one compact object.
func object(fields []member) (json.RawMessage, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range fields {
		if i > 0 {
			b.WriteByte(',')
		}
		name, err := marshal(m.name)
		if err != nil {
			return nil, err
		}
		b.Write(name)
		b.WriteByte(':')
		b.Write(m.value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}
