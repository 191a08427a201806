package shop_test

import (
	"bytes"
	"encoding/json"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/form"
	"bendbook/session/report/table"
)

// TestAKindOfEntryIsKnownEverywhere tells who adds a kind of entry what is still to be done for it.
func TestAKindOfEntryIsKnownEverywhere(t *testing.T) {
	samples := []model.Event{
		pullRead(18, 1), model.StringLength{Length: 68}, braced(row(6), row(5.75)), model.Relaxed{Readings: model.Readings{row(0.25)}},
		model.Scrape{From: 4, To: 12, Tool: "scraper", Strokes: measure.Some(12), Depth: measure.Some[measure.Length](0.03), DepthShare: measure.Some(0.042)}, model.Exercise{Pulls: 20},
		model.Finish{Step: "varnish", Coat: measure.Some(2), Grit: measure.Some(120), On: "2027-01-10", Text: "28"},
		model.Moisture{Where: model.ShopAir, Content: measure.Some(0.09), Celsius: measure.Some(20.0), Humidity: measure.Some(0.5)},
		model.Note{Text: "dry"}, model.Void{Entry: "1", Why: "wrong mark"}, model.Edit{Set: []byte(`{"name":"Elm"}`)}, model.Rack{Why: "horn"},
	}
	// What a kind has no place in, on purpose.
	noRow := []model.Kind{model.KindVoid, model.KindEdit, model.KindRack}
	noCorrection := []model.Kind{model.KindFinish, model.KindMoisture, model.KindVoid, model.KindEdit, model.KindRack}

	bow := ash()
	desc, err := record.Describe(bow)
	must(t, err)
	for _, kind := range model.Kinds() {
		i := slices.IndexFunc(samples, func(e model.Event) bool { return e.Kind() == kind })
		if i < 0 {
			t.Errorf("%s: add a sample of it to this test, and see what else it asks for", kind)
			continue
		}
		entry := model.Entry{ID: "e1", At: time.Date(2027, 1, 11, 9, 30, 0, 0, time.UTC), What: samples[i]}
		item, err := record.NewItem(entry, bow.Units)
		if err != nil {
			t.Errorf("%s: model/record/document.go does not write it: %v", kind, err)
			continue
		}
		back, err := record.ParseItem(item.Doc, bow.Units)
		if err != nil || !reflect.DeepEqual(back.Entry.What, entry.What) {
			t.Errorf("%s: model/record/decode.go reads %#v (%v), want %#v", kind, back.Entry.What, err, entry.What)
		}
		var fields map[string]json.RawMessage
		must(t, json.Unmarshal(item.Doc, &fields))
		var whole bytes.Buffer
		must(t, record.WriteLine(&whole, record.Record{Description: desc, Items: []record.Item{item}}))
		for name := range fields {
			begin := bytes.LastIndex(whole.Bytes(), []byte(strconv.Quote(name)+":"))
			shouted := slices.Concat(whole.Bytes()[:begin+1], []byte(strings.ToUpper(name)), whole.Bytes()[begin+1+len(name):])
			if _, err := record.Parse(shouted); err == nil || !strings.Contains(err.Error(), "expected the spelling "+name) {
				t.Errorf("%s: model/record/names.go does not know its field %s (%v)", kind, name, err)
			}
		}
		if said := session.Say(bow, entry.What); strings.Contains(said, "does not know") {
			t.Errorf("%s: session/words.go says %q", kind, said)
		}
		story := session.Fold(desc, []record.Item{item})
		var csv bytes.Buffer
		if err := table.Write(&csv, bow, story.Lines, time.UTC); err != nil {
			t.Fatal(err)
		}
		told, err := table.Read(&csv, bow, time.UTC)
		must(t, err)
		if slices.Contains(noRow, kind) {
			if len(told.Rows) > 0 {
				t.Errorf("%s: a table has it, against what this test, session/report/table/doc.go and the README say", kind)
			}
		} else if len(told.Rows) != 1 || !reflect.DeepEqual(told.Rows[0].Entry.What, entry.What) {
			t.Errorf("%s: session/report/table reads %+v, want one row of %#v", kind, told.Rows, entry.What)
		}
		if _, ok := form.Correct(session.Fold(desc, nil), entry); ok == slices.Contains(noCorrection, kind) {
			t.Errorf("%s: session/form/correct.go has a form for it: %v, against what this test says", kind, ok)
		}
	}
	for _, kind := range form.Kinds() {
		if s := kind.Of(session.Fold(desc, nil)); s.About() == s.Title+"." {
			t.Errorf("session/form/about.go does not say what the form %s is for", s.Form)
		}
	}
}
