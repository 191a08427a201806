package shop_test

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"regexp"
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

// Where a kind is missing on purpose: a table tells of work, and what isn't read is entered anew rather than
// corrected.
var (
	noRow        = []model.Kind{model.KindVoid, model.KindEdit, model.KindRack}
	noCorrection = []model.Kind{model.KindFinish, model.KindVoid, model.KindEdit, model.KindRack}
)

// samples are an event of each kind with every field; of a kind that isn't listed here, what its form makes of
// its own examples.
func samples(t *testing.T) map[model.Kind]model.Event {
	t.Helper()
	all := make(map[model.Kind]model.Event)
	for _, kind := range form.Kinds() {
		made, err := exampleOf(t, kind)
		if err != nil {
			t.Errorf("%s: its examples are not taken: %v", kind.Name, err)
			continue
		}
		all[made.Kind()] = made
	}
	maps.Copy(all, listed())
	return all
}

// listed are events with every field of their kind.
func listed() map[model.Kind]model.Event {
	all := make(map[model.Kind]model.Event)
	for _, e := range []model.Event{
		model.Shorten{Upper: measure.Some[measure.Length](0.75), Lower: measure.Some[measure.Length](0.5)},
		pullRead(18, 1), model.StringLength{Length: 68}, braced(row(6), row(5.75)), model.Relaxed{Readings: model.Readings{row(0.25)}, Minutes: measure.Some(30.0)},
		model.Scrape{From: 4, To: 12, Tool: "scraper", Strokes: measure.Some(12), Depth: measure.Some[measure.Length](0.03), DepthShare: measure.Some(0.042), Face: "left"}, model.Exercise{Pulls: 20, Draw: measure.Some[measure.Length](16), Minutes: measure.Some(30.0)},
		model.Finish{Step: "varnish", Coat: measure.Some(2), Grit: measure.Some(120), On: "2027-01-10", Text: "28"},
		model.Moisture{Where: model.ShopAir, Content: measure.Some(0.09), Celsius: measure.Some(20.0), Humidity: measure.Some(0.5)},
		model.Note{Text: "dry"}, model.Void{Entry: "1", Why: "wrong mark", By: "2"}, model.Edit{Set: []byte(`{"name":"Elm"}`)}, model.Rack{Why: "horn", Found: "a loose nock", Done: "glued"},
	} {
		all[e.Kind()] = e
	}
	return all
}

var hinted = regexp.MustCompile(`such as (.+?)(?:[,;:?]| or |$)`)

// exampleOf is what a kind's form makes of the examples that its hints give, and of words where it takes
// some; one line with each field by its name, as `log` takes it, makes the same.
func exampleOf(t *testing.T, kind form.Kind) (model.Event, error) {
	s := kind.Of(told(t))
	var words []string
	for !s.Done() {
		q, _ := s.Current()
		tries := []string{cmp.Or(q.Preset, "dry"), ""}
		if such := hinted.FindStringSubmatch(q.Hint); such != nil {
			tries = slices.Insert(tries, 0, such[1])
		} else if len(q.Choices) > 0 {
			tries = slices.Insert(tries, 0, q.Choices[0])
		}
		for _, text := range tries {
			if v := s.Answer(text); v.State == form.Taken {
				words = append(words, q.Name, cmp.Or(text, "-"))
				break
			}
		}
		if at, _ := s.Current(); at.Name == q.Name {
			return nil, fmt.Errorf("%s takes none of %q", q.Name, tries)
		}
	}
	if len(s.Questions) == 1 {
		words = words[1:]
	}
	typed, err := s.Finish()
	for errors.As(err, new(form.DoubtError)) {
		typed, err = s.Finish() // each doubt is raised once
	}
	if err != nil {
		return nil, err
	}
	line := strings.Join(words, " ")
	made, err := kind.Of(told(t)).Line(ash(), line, true)
	if err != nil || !reflect.DeepEqual(made, typed) {
		return nil, fmt.Errorf("the line %q makes %#v (%w), the form %#v", line, made.Event, err, typed.Event)
	}
	return made.Event, nil
}

// This test tells whoever adds a kind of entry what is still missing.
func TestAKindOfEntryIsKnownEverywhere(t *testing.T) {
	bow, all := ash(), samples(t)
	for _, kind := range model.Kinds() {
		what := all[kind]
		if what == nil {
			t.Errorf("%s: session/form/kinds.go has no form for it", kind)
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
		if kind != model.KindVoid { // which has its own tests
			undone(t, what)
		}
	}
	for _, kind := range form.Kinds() {
		if s := kind.Of(told(t)); s.About() == s.Title+"." || s.About() == "" || form.FormName(s.Form) == "" {
			t.Errorf("nothing says what the form %s is for, or what it is called", s.Form)
		}
	}
}

// inRecord checks that a record keeps the whole entry, and insists on the spelling of its fields.
func inRecord(t *testing.T, entry model.Entry) record.Item {
	t.Helper()
	kind := entry.What.Kind()
	item := need(record.NewItem(entry, ash().Units))(t)
	back, err := record.ParseItem(item.Doc, ash().Units)
	if err != nil || !reflect.DeepEqual(back.Entry.What, entry.What) {
		t.Errorf("%s: a record reads %#v (%v), want %#v", kind, back.Entry.What, err, entry.What)
	}
	desc := need(record.Describe(ash()))(t)
	var fields map[string]json.RawMessage
	must(t, json.Unmarshal(item.Doc, &fields))
	var whole bytes.Buffer
	must(t, record.WriteLine(&whole, record.Record{Description: desc, Items: []record.Item{item}}))
	for name := range fields {
		begin := bytes.LastIndex(whole.Bytes(), []byte(strconv.Quote(name)+":"))
		shouted := slices.Concat(whole.Bytes()[:begin+1], []byte(strings.ToUpper(name)), whole.Bytes()[begin+1+len(name):])
		if _, err := record.Parse(shouted); err == nil || !strings.Contains(err.Error(), "write it "+name) {
			t.Errorf("%s: a record does not know its field %s (%v)", kind, name, err)
		}
	}
	return item
}

// inTable checks that a table keeps the whole entry.
func inTable(t *testing.T, item record.Item) {
	t.Helper()
	desc := need(record.Describe(ash()))(t)
	var csv bytes.Buffer
	must(t, table.Write(&csv, ash(), session.Fold(desc, []record.Item{item}).Lines, time.UTC, true))
	text, kind := csv.String(), item.Entry.What.Kind()
	back := need(table.Read(&csv, ash(), time.UTC))(t)
	if slices.Contains(noRow, kind) {
		if len(back) > 0 {
			t.Errorf("%s: a table has it, against what this test, session/report/table/doc.go and the README say", kind)
		}
		return
	}
	if len(back) != 1 || !reflect.DeepEqual(back[0].Entry.What, item.Entry.What) || back[0].Fault != nil {
		t.Errorf("%s: %s reads as %+v, want one row of %#v", kind, text, back, item.Entry.What)
	}
}

// undone checks that an entry that is undone no longer counts, and counts again once that is taken back. The
// bow's description follows.
func undone(t *testing.T, what model.Event) {
	t.Helper()
	w := newWorkshop(1)
	bench := w.bench(t, ash())
	before := bench.Story().Bow()
	w.add(t, bench, what)
	id, after := lastID(bench), bench.Story().Bow()
	counts := func() bool {
		line, _ := bench.Story().Line(id)
		want := before
		if line.Counts() {
			want = after
		}
		if got := bench.Story().Bow(); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: where it counts %v, the bow is %+v, want %+v", what.Kind(), line.Counts(), got, want)
		}
		return line.Counts()
	}
	if reflect.DeepEqual(before, after) != (what.Kind() != model.KindEdit && what.Kind() != "shorten") {
		t.Errorf("%s: %+v became %+v", what.Kind(), before, after)
	}
	says, err := turned(bench.Last(false))
	if err != nil || says != session.Say(ash(), what) || counts() {
		t.Errorf("%s: undone is %q (%v), and it counts: %v", what.Kind(), says, err, counts())
	}
	if _, err := turned(bench.Last(true)); err != nil || !counts() {
		t.Errorf("%s: brought back, it counts: %v (%v)", what.Kind(), counts(), err)
	}
}
