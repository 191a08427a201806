package record

import (
	"bytes"
	"encoding/json"
	"maps"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"
)

// compiled is the schema; a strict one allows no field that it doesn't name.
func compiled(t *testing.T, strict bool) *jsonschema.Schema {
	t.Helper()
	text := Schema()
	if strict {
		for _, object := range []string{`"type": "object"`, `"type": ["object", "null"]`} {
			text = strings.ReplaceAll(text, object+",\n", object+",\n\"unevaluatedProperties\": false,\n")
		}
	}
	c := jsonschema.NewCompiler()
	check(t, c.AddResource("record.json", value(t, []byte(text))))
	s, err := c.Compile("record.json")
	check(t, err)
	return s
}

func value(t rapid.TB, doc []byte) any {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(doc))
	check(t, err)
	return v
}

// TestTheSchemaHoldsWhatIsWritten: a record of known fields with nothing else allowed, whether it came from
// elsewhere or was made here, and one with unknown fields too.
func TestTheSchemaHoldsWhatIsWritten(t *testing.T) {
	open, strict := compiled(t, false), compiled(t, true)
	rapid.Check(t, func(t *rapid.T) {
		g := newGenerator(t)
		doc := encode(t, g.record(anyIDs))
		if err := open.Validate(value(t, doc)); err != nil {
			t.Fatalf("%v\n%s", err, doc)
		}
		rec := parse(t, doc)
		var made Record
		var err error
		made.Description, err = Describe(rec.Bow)
		check(t, err)
		for _, item := range rec.Items {
			if string(item.Entry.What.Kind()) == "weathervane" {
				continue
			}
			item, err = NewItem(item.Entry, g.units)
			check(t, err)
			made.Items = append(made.Items, item)
		}
		if err := strict.Validate(value(t, written(t, made))); err != nil {
			t.Fatalf("%v\n%s", err, written(t, made))
		}
	})
}

// TestTheSchemaNamesEveryField of the format, and no other.
func TestTheSchemaNamesEveryField(t *testing.T) {
	named := make(map[string]bool)
	var walk func(v any)
	walk = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			properties, _ := v["properties"].(map[string]any)
			for name := range properties {
				named[name] = true
			}
			for _, inner := range v {
				walk(inner)
			}
		case []any:
			for _, inner := range v {
				walk(inner)
			}
		}
	}
	var doc any
	check(t, json.Unmarshal([]byte(Schema()), &doc))
	walk(doc)
	delete(named, "bow_first") // which the story adds
	if own := ownNames(); !maps.Equal(named, own) {
		t.Errorf("the schema names %v, the format %v", named, own)
	}
}

// TestTheSchemaRefusesWhatTheReaderRefuses, of what a schema can tell.
func TestTheSchemaRefusesWhatTheReaderRefuses(t *testing.T) {
	s := compiled(t, false)
	const whole = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"a",` +
		`"limbs":{"upper":{"length":34,"stations":[6]},"lower":{"length":33}}},"entries":[{"kind":"pull","draw":18}]}`
	for _, c := range [][2]string{
		{``, ``}, {`"in"`, `"ft"`}, {`"lbf"`, `"oz"`}, {`"version":1`, `"version":0`}, {`,"lower":{"length":33}`, ``},
		{`"draw":18`, `"peak":18`}, {`"draw":18`, `"draw":"18"`}, {`"draw":18`, `"draw":18,"from":"nock"`},
		{`"draw":18`, `"draw":18,"upper":["1"]`}, {`[6]`, `[null]`}, {`"kind":"pull",`, ``},
		{`"pull","draw":18`, `"void"`}, {`"pull","draw":18`, `"scrape","limb":"left","from":1,"to":2`},
		{`"pull","draw":18`, `"exercise","pulls":1.5`}, {`"pull","draw":18`, `"bow"`}, {`"pull","draw":18`, `"rack"`},
		{`"pull","draw":18`, `"braced","block":{"at":[6]}`}, {`"pull","draw":18`, `"string"`},
	} {
		doc := []byte(strings.Replace(whole, c[0], c[1], 1))
		_, refused := Parse(doc)
		if invalid := s.Validate(value(t, doc)); (invalid == nil) != (refused == nil) || (refused == nil) != (c[0] == "") {
			t.Errorf("%s: the reader says %v, the schema %v", c[1], refused, invalid)
		}
	}
}
