package shop_test

import (
	"bytes"
	"reflect"
	"slices"
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

// What a kind has no place in, on purpose: a table tells of work, and what isn't read at the tree is
// entered anew.
var (
	noRow        = []model.Kind{model.KindVoid, model.KindEdit, model.KindRack}
	noCorrection = []model.Kind{model.KindFinish, model.KindMoisture, model.KindVoid, model.KindEdit, model.KindRack}
)

// samples are an event of each kind, with all that it may say.
func samples() map[model.Kind]model.Event {
	all := make(map[model.Kind]model.Event)
	for _, e := range []model.Event{
		pullRead(18, 1), model.StringLength{Length: 68}, braced(row(6), row(5.75)), model.Relaxed{Readings: model.Readings{row(0.25)}},
		model.Scrape{From: 4, To: 12, Tool: "scraper", Strokes: measure.Some(12), Depth: measure.Some[measure.Length](0.03), DepthShare: measure.Some(0.042)}, model.Exercise{Pulls: 20},
		model.Finish{Step: "varnish", Coat: measure.Some(2), Grit: measure.Some(120), On: "2027-01-10", Text: "28"},
		model.Moisture{Where: model.ShopAir, Content: measure.Some(0.09), Celsius: measure.Some(20.0), Humidity: measure.Some(0.5)},
		model.Note{Text: "dry"}, model.Void{Entry: "1", Why: "wrong mark"}, model.Edit{Set: []byte(`{"name":"Elm"}`)}, model.Rack{Why: "horn"},
	} {
		all[e.Kind()] = e
	}
	return all
}

// TestAKindOfEntryIsKnownEverywhere tells who adds a kind of entry what is still to be done for it.
func TestAKindOfEntryIsKnownEverywhere(t *testing.T) {
	bow, all := ash(), samples()
	for _, kind := range model.Kinds() {
		what := all[kind]
		if what == nil {
			t.Errorf("%s: samples has none of it", kind)
			continue
		}
		entry := model.Entry{ID: "e1", At: time.Date(2027, 1, 11, 9, 30, 0, 0, time.UTC), What: what}
		item := inRecord(t, entry)
		if said := session.Say(bow, what); said == "" || strings.Contains(said, "does not know") {
			t.Errorf("%s: it says %q", kind, said)
		}
		inTable(t, item)
		story := told(t)
		s, ok := form.Correct(story, entry)
		if ok == slices.Contains(noCorrection, kind) {
			t.Errorf("%s: it can be corrected: %v, against what this test says", kind, ok)
		} else if ok {
			if same, err := s.Finish(); err != nil || session.Say(bow, same.Event) != session.Say(bow, what) {
				t.Errorf("%s: corrected nowhere, %#v becomes %#v (%v)", kind, what, same.Event, err)
			}
		}
		if kind != model.KindVoid && kind != model.KindEdit { // those have their own tests
			undone(t, what)
		}
	}
	for _, kind := range form.Kinds() {
		if s := kind.Of(told(t)); s.About() == s.Title+"." || s.About() == "" || form.FormName(s.Form) == "" {
			t.Errorf("nothing says what the form %s is for, or what it is called", s.Form)
		}
	}
}

// inRecord says whether a record has all that an entry says.
func inRecord(t *testing.T, entry model.Entry) record.Item {
	t.Helper()
	kind := entry.What.Kind()
	item, err := record.NewItem(entry, ash().Units)
	must(t, err)
	back, err := record.ParseItem(item.Doc, ash().Units)
	if err != nil || !reflect.DeepEqual(back.Entry.What, entry.What) {
		t.Errorf("%s: a record reads %#v (%v), want %#v", kind, back.Entry.What, err, entry.What)
	}
	return item
}

// inTable says whether a table has all that an entry says.
func inTable(t *testing.T, item record.Item) {
	t.Helper()
	desc, err := record.Describe(ash())
	must(t, err)
	var csv bytes.Buffer
	must(t, table.Write(&csv, ash(), session.Fold(desc, []record.Item{item}).Lines, time.UTC))
	text, kind := csv.String(), item.Entry.What.Kind()
	back, err := table.Read(&csv, ash(), time.UTC)
	must(t, err)
	if slices.Contains(noRow, kind) {
		if len(back.Rows) > 0 {
			t.Errorf("%s: a table has it, against what this test, session/report/table/doc.go and the README say", kind)
		}
		return
	}
	if len(back.Rows) != 1 || !reflect.DeepEqual(back.Rows[0].Entry.What, item.Entry.What) || back.Rows[0].Note != nil || back.Rows[0].Fault != nil {
		t.Errorf("%s: %s reads as %+v, want one row of %#v", kind, text, back.Rows, item.Entry.What)
	}
}

// undone says whether an entry counts no more once it is undone, and counts again once that is taken back.
func undone(t *testing.T, what model.Event) {
	t.Helper()
	_, bench := atBench(t, what)
	id := lastID(bench)
	counts := func() bool { line, _ := bench.Story().Line(id); return line.Counts() }
	line, err := bench.Undo()
	if err != nil || line.Entry.ID != id || counts() {
		t.Errorf("%s: undone is %+v (%v), and it counts: %v", what.Kind(), line, err, counts())
	}
	if _, err := bench.Redo(); err != nil || !counts() {
		t.Errorf("%s: brought back, it counts: %v (%v)", what.Kind(), counts(), err)
	}
}
