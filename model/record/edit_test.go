package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
)

func TestAnEditLeadsFromOneDescriptionToAnother(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := newGenerator(t)
		from := parse(t, encode(t, g.record(noIDs)))
		g.unknown = false
		other := g.record(noIDs)
		other["units"] = fields{"length": g.units.Length, "force": g.units.Force}
		to := parse(t, encode(t, other)).Bow

		edit, changes, err := from.EditTo(to)
		check(t, err)
		if same := reflect.DeepEqual(from.Bow, to); same == changes {
			t.Fatalf("changes is %v between\n%+v\n%+v", changes, from.Bow, to)
		}
		edited, err := from.Edited(edit)
		if err != nil {
			t.Fatalf("%v: %s", err, edit.Set)
		}
		if !reflect.DeepEqual(edited.Bow, to) {
			t.Fatalf("edited by %s\n%+v\nwant\n%+v", edit.Set, edited.Bow, to)
		}
		if _, again, err := edited.EditTo(to); again || err != nil {
			t.Fatalf("once more: %v, %v", again, err)
		}
		if got, want := strangeFields(meaning(t, edited.Doc)),
			strangeFields(meaning(t, from.Doc)); !reflect.DeepEqual(got, want) {
			t.Fatalf("unknown fields %v became %v", want, got)
		}
		if !reflect.DeepEqual(edited.Extra, from.Extra) {
			t.Fatalf("the record's own fields %v became %v", from.Extra, edited.Extra)
		}
		twice, err := from.Edited(edit)
		if err != nil || !bytes.Equal(twice.Doc, edited.Doc) {
			t.Fatalf("the same edit wrote\n%s\nand\n%s", edited.Doc, twice.Doc)
		}
		if _, err := NewItem(model.Entry{ID: "e", What: edit}, from.Bow.Units); err != nil {
			t.Fatal(err)
		}
	})
}

// strangeFields are the fields that start with x_, by their path.
func strangeFields(v any) map[string]any {
	out := make(map[string]any)
	object, _ := v.(map[string]any)
	for name, value := range object {
		if strings.HasPrefix(name, "x_") {
			out[name] = value
			continue
		}
		for path, strange := range strangeFields(value) {
			out[name+"."+path] = strange
		}
	}
	return out
}

func TestAnEditSaysOnlyWhatChanges(t *testing.T) {
	desc := parse(t, []byte(small(""))).Description
	bow := desc.Bow
	bow.ID, bow.Units = "other", measure.Units{Length: measure.Millimetre, Force: measure.Newton}
	if edit, changes, err := desc.EditTo(bow); changes || err != nil {
		t.Errorf("the id and the units stay, but %s, %v", edit.Set, err)
	}
	bow.Number = "27-03"
	bow.Order.Weight = measure.Some[measure.Force](38)
	edit, changes, err := desc.EditTo(bow)
	if want := `{"number":"27-03","order":{"weight":38}}`; !changes || err != nil || string(edit.Set) != want {
		t.Errorf("%s, %v; want %s", edit.Set, err, want)
	}
}

func TestAnEditMustLeaveABow(t *testing.T) {
	desc := parse(t, []byte(small(""))).Description
	for set, field := range map[string]string{
		`{"limbs": null}`:                           "limbs",
		`{"limbs": {"upper": {"length": 8}}}`:       "limbs.upper.stations[2]",
		`{"id": "other"}`:                           "id",
		`{"name": 7}`:                               "name",
		`{"limbs": {"lower": {"depths": [1,"x"]}}}`: "limbs.lower.depths[1]",
	} {
		after, err := desc.Edited(model.Edit{Set: []byte(set)})
		var fault *model.FieldError
		if !errors.As(err, &fault) || fault.Field != field {
			t.Errorf("%s: %v; want an error at %s", set, err, field)
		}
		if !reflect.DeepEqual(after, desc) {
			t.Errorf("%s: the description changed all the same", set)
		}
	}
	for _, set := range []string{`[]`, `{"name": "Ash"`} {
		if _, err := desc.Edited(model.Edit{Set: []byte(set)}); err == nil {
			t.Errorf("%s is no edit", set)
		}
	}
	bow := desc.Bow
	bow.Handle = -1
	var fault *model.FieldError
	if _, _, err := desc.EditTo(bow); !errors.As(err, &fault) || fault.Field != "handle" {
		t.Errorf("a handle below 0: %v", err)
	}
}

// The table of RFC 7396, appendix A (from memory), as far as it concerns objects.
func TestMergePatchKeepsToItsStandard(t *testing.T) {
	for _, c := range []struct{ doc, patch, want string }{
		{`{"a":"b"}`, `{"a":"c"}`, `{"a":"c"}`},
		{`{"a":"b"}`, `{"b":"c"}`, `{"a":"b","b":"c"}`},
		{`{"a":"b"}`, `{"a":null}`, `{}`},
		{`{"a":"b","b":"c"}`, `{"a":null}`, `{"b":"c"}`},
		{`{"a":"c"}`, `{"a":["b"]}`, `{"a":["b"]}`},
		{`{"a":[{"b":"c"}]}`, `{"a":[1]}`, `{"a":[1]}`},
		{`{"e":null}`, `{"a":1}`, `{"e":null,"a":1}`},
		{`[1,2]`, `{"a":"b","c":null}`, `{"a":"b"}`},
		{`{}`, `{"a":{"bb":{"ccc":null}}}`, `{"a":{"bb":{}}}`},
		// Ours: a list replaces a list whole, with the nulls in it; numbers keep their spelling.
		{`{"a":1.50,"b":[1]}`, `{"b":[null,{"c":null}],"d":2.0}`, `{"a":1.50,"b":[null,{"c":null}],"d":2.0}`},
	} {
		if got := mergePatch(json.RawMessage(c.doc), json.RawMessage(c.patch)); string(got) != c.want {
			t.Errorf("%s upon %s gives %s; want %s", c.patch, c.doc, got, c.want)
		}
	}
}

// Export describes the bow as the edits left it and keeps the edits, so they are made upon their own outcome
// again.
func TestEditsUponTheirOwnOutcomeChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := newGenerator(t)
		first := parse(t, encode(t, g.record(noIDs))).Description
		var edits []model.Edit
		for range rapid.IntRange(1, 4).Draw(t, "edits") {
			set := maps.Clone(rapid.SampledFrom([]fields{
				{"name": "m"}, {"order": nil}, {"order": fields{"due": nil}},
				{"order": fields{"weight": 40, "for": "Wren"}},
				{"aim": fields{"bend": nil}}, {"x_0": fields{"y": 1}}, {"x_0": nil},
			}).Draw(t, "set"))
			edits = append(edits, model.Edit{Set: compact(encode(t, set))})
		}
		apply := func(desc Description) Description {
			for _, edit := range edits {
				edited, err := desc.Edited(edit)
				check(t, err)
				desc = edited
			}
			return desc
		}
		once := apply(first)
		if twice := apply(once); !reflect.DeepEqual(twice.Bow, once.Bow) ||
			!reflect.DeepEqual(meaning(t, twice.Doc), meaning(t, once.Doc)) {
			t.Fatalf("once\n%s\ntwice\n%s", once.Doc, twice.Doc)
		}
	})
}
