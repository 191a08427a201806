package record

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"bendbook/model/measure"
)

func FuzzParseRecord(f *testing.F) {
	example, err := os.ReadFile(filepath.Join("..", "..", "testdata", "record", "example.json"))
	if err != nil {
		f.Fatal(err)
	}
	for _, seed := range []string{
		string(example), small(""), small(`{"kind": "note"}, {"kind": "note"}, {"kind": "x", "y": [null]}`),
		`{"format": "bendbook/record", "version": 9}`,
		small(`{"kind": "bow", "set": {"limbs": {"upper": {"stations": [9]}}, "order": null, "x": {"y": null}}}`),
		"\ufeff[1e999]", `{"a":1,"A":2}`, "\xff",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, doc []byte) {
		rec, err := Parse(doc)
		if err != nil {
			checkMessage(t, err)
			return
		}
		var b bytes.Buffer
		check(t, Write(&b, rec))
		again, err := Parse(b.Bytes())
		if err != nil {
			t.Fatalf("written as %s: %v", b.Bytes(), err)
		}
		if !reflect.DeepEqual(again, rec) {
			t.Errorf("read\n%+v\nread again\n%+v", rec, again)
		}
		items := book(rec.Items)
		add, _ := Merge(items, again.Items)
		if len(add) > 0 || !slices.Equal(idsOf(items), idsOf(rec.Items)) {
			t.Errorf("a book has %v for %v", idsOf(items), idsOf(rec.Items))
		}
	})
}

func FuzzParseItem(f *testing.F) {
	for _, seed := range []string{
		`{"kind":"pull","draw":18,"peak":21.4,"held":3.2,"from":"line","upper":[1,null],"lower":[]}`,
		`{"kind":"braced","block":{"length":6,"at":[4],"upper":[0.1]}}`,
		`{"kind":"scrape","limb":"upper","from":1,"to":2,"strokes":3,"depth_share":0.1}`,
		`{"kind":"finish","step":"varnish","coat":1,"at":"2027-01-10T09:00:00+05:30"}`,
		`{"kind":"bow","set":{"name":"m"}}`, `{"kind":"rack","in_hand":false,"id":"a"}`,
		`{"kind":"string","length":1e308}`, `{"kind":"exercise","pulls":1e6}`,
	} {
		f.Add([]byte(seed), false)
		f.Add([]byte(seed), true)
	}
	f.Fuzz(func(t *testing.T, doc []byte, metric bool) {
		units := measure.Imperial()
		if metric {
			units = measure.Units{Length: measure.Millimetre, Force: measure.KilogramForce}
		}
		item, err := ParseItem(doc, units)
		if err != nil {
			checkMessage(t, err)
			return
		}
		again, err := ParseItem(item.Doc, units)
		if err != nil || !reflect.DeepEqual(again, item) {
			t.Fatalf("%s reads as\n%+v\nand then, %v\n%+v", doc, item, err, again)
		}
		made, err := NewItem(item.Entry, units)
		if err != nil {
			return // a number beyond all others cannot be written
		}
		if !json.Valid(made.Doc) {
			t.Errorf("made anew: %s", made.Doc)
		}
	})
}

func FuzzMergePatch(f *testing.F) {
	f.Add([]byte(`{"a":{"b":1},"c":[null]}`), []byte(`{"a":{"b":null},"c":2}`))
	f.Fuzz(func(t *testing.T, doc, patch []byte) {
		if !json.Valid(doc) || !json.Valid(patch) || len(doc)+len(patch) > 10_000 {
			return
		}
		doc, patch = compact(doc), compact(patch)
		once := mergePatch(doc, patch)
		if !json.Valid(once) {
			t.Fatalf("%s upon %s gives %s", patch, doc, once)
		}
		if checkNames(doc) != nil || checkNames(patch) != nil {
			return // an object that has a field twice
		}
		if twice := mergePatch(once, patch); !bytes.Equal(twice, once) {
			t.Errorf("%s upon %s gives %s, and then %s", patch, doc, once, twice)
		}
	})
}
