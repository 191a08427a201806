package shop_test

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/session/booktest"
	"bendbook/session/shop"
)

// unknown is a record with fields and a kind of entry that this version doesn't know, and entries without ids.
const unknown = `{"format":"bendbook/record","version":1,"units":{"length":"cm","force":"kgf"},` +
	`"bow":{"id":"a","name":"Hasel","limbs":{"upper":{"length":86.0,"stations":[15,20]},"lower":{"length":84,"stations":[15,20]}},"glue":"hide"},` +
	`"entries":[{"kind":"pull","draw":40.50,"peak":9.1,"wind":"none"},{"kind":"steamed","minutes":30},{"kind":"note","text":"x"},{"kind":"note","text":"x"}],` +
	`"shop":{"name":"<b>"}}` + "\n"

func (w *workshop) imported(t testing.TB, file string) []shop.Imported {
	t.Helper()
	var all []shop.Imported
	must(t, w.Import(strings.NewReader(file), func(done shop.Imported) { all = append(all, done) }))
	return all
}

// exported is every bow of the shop as JSON Lines.
func (w *workshop) exported(t testing.TB) string {
	t.Helper()
	var file strings.Builder
	must(t, w.ExportAll(func(rec record.Record) error { return record.WriteLine(&file, rec) }))
	return file.String()
}

func TestImportAndExportKeepWhatTheyDoNotKnow(t *testing.T) {
	w := newWorkshop(1)
	if got := w.imported(t, unknown); len(got) != 1 || !got[0].New || got[0].Entries != 4 || got[0].Name != "Hasel" {
		t.Errorf("the import tells %+v", got)
	}
	same(t, "the record", w.exported(t), unknown)
	if got := w.imported(t, unknown); got[0].New || got[0].Entries != 0 || len(got[0].Differ) != 0 {
		t.Errorf("the second import tells %+v", got)
	}
	same(t, "after the second import the record", w.exported(t), unknown)
}

func TestImportTellsOfEntriesThatDiffer(t *testing.T) {
	w := newWorkshop(1)
	const file = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"b","name":"Elm\u001b[2J",` +
		`"limbs":{"upper":{"length":34,"stations":[6]},"lower":{"length":33,"stations":[6]}}},"entries":[{"id":"n","kind":"note","text":"%s"}]}`
	w.imported(t, fmt.Sprintf(file, "mine"))
	got := w.imported(t, fmt.Sprintf(file, "theirs"))
	if len(got) != 1 || !reflect.DeepEqual(got[0].Differ, []string{"n"}) || got[0].Entries != 0 {
		t.Fatalf("the import tells %+v", got)
	}
	same(t, "it says", got[0].String(), "Elm[2J: 0 new entries; 1 entry is in the book with other text, and the book keeps its own")
	if !strings.Contains(w.exported(t), "mine") {
		t.Error("the book's own entry did not stay")
	}
}

func TestImportRefusesAndKeepsTheRecordsBefore(t *testing.T) {
	other := strings.NewReplacer(`"cm"`, `"in"`, `"id":"a"`, `"id":"b"`).Replace(unknown)
	for _, c := range []struct{ name, second, says string }{
		{"other units", strings.Replace(unknown, `"kgf"`, `"N"`, 1), "units: the book keeps Hasel in cm and kgf"},
		{"no id", strings.Replace(other, `"id":"b",`, "", 1), "bow.id"},
		{"a pull beyond the bow", strings.Replace(other, "40.50", "999", 1), "record 2: entries[0].draw"},
		{"no JSON", "{", "middle"},
		{"a newer version", strings.Replace(other, `"version":1`, `"version":2`, 1), "newer"},
	} {
		w := newWorkshop(1)
		var told []shop.Imported
		err := w.Import(strings.NewReader(unknown+c.second), func(done shop.Imported) { told = append(told, done) })
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: the error is %v, want one that says %q", c.name, err, c.says)
		}
		if got := w.exported(t); len(told) != 1 || got != unknown {
			t.Errorf("%s: told of %d records, and the book holds\n%s", c.name, len(told), got)
		}
	}
}

// A description changed by hand wins over the record's note of what the bow was at first.
func TestRecordWhoseDescriptionWasChangedByHandIsTakenAtItsWord(t *testing.T) {
	w, bench := atBench(t)
	redescribe(t, bench, func(bow *model.Bow) { bow.Name = "Elm" })
	file := strings.Replace(w.exported(t), `"wood":"ash"`, `"wood":"yew"`, 1)
	other := newWorkshop(2)
	other.imported(t, file)
	if got, err := other.Story(bench.Story().Bow().ID); err != nil || got.Bow().Wood != "yew" || got.Bow().Name != "Elm" {
		t.Errorf("the bow is %+v (%v)", got.Bow(), err)
	}
	same(t, "the record", other.exported(t), file)
}

// A record that describes a bow otherwise than the book, with no entry that says why, changes nothing but is reported.
func TestARecordThatDescribesABowOtherwiseIsToldOf(t *testing.T) {
	w, bench := atBench(t, pull(18, 22))
	file := w.exported(t)
	imported := func(file string) string { return w.imported(t, file)[0].String() }
	if said := imported(file); strings.Contains(said, "differently") {
		t.Errorf("its own record: %q", said)
	}
	renamed := strings.Replace(file, ash().Name, "Renamed by hand", 1)
	if said := imported(renamed); !strings.Contains(said, "the book describes it differently, and keeps its own") {
		t.Errorf("a renamed record: %q", said)
	}
	// An older record lacks a change that the book has: nothing to tell.
	redescribe(t, bench, func(bow *model.Bow) { bow.Name = "Ash for Lark" })
	if said := imported(file); strings.Contains(said, "differently") {
		t.Errorf("an older record: %q", said)
	}
	if story, err := w.Story(bench.Story().Bow().ID); err != nil || story.Bow().Name != "Ash for Lark" {
		t.Errorf("the bow is %q (%v)", story.Bow().Name, err)
	}
}

// Two books whose clocks are behind the last entry of a bow go on from that with different ids.
func TestBooksThatGoOnFromOneEntryGiveDifferentIDs(t *testing.T) {
	books := [2]*workshop{newWorkshop(1), newWorkshop(2)}
	first := books[0].bench(t, ash())
	books[0].add(t, first, pull(18, 22))
	id := first.Story().Bow().ID
	books[1].imported(t, books[0].exported(t))
	ids := make(map[string]bool)
	for i, w := range books {
		w.time = monday.Add(-24 * time.Hour)
		bench := need(w.Bench(id))(t)
		for range 20 {
			must(t, bench.Add(model.Note{Text: []string{"left", "right"}[i]}, ""))
			if ids[lastID(bench)] {
				t.Fatalf("the id %s was given twice", lastID(bench))
			}
			ids[lastID(bench)] = true
		}
	}
}

// An entry that the book can't take is kept as a record, which brings it into the book later, once.
func TestWhatTheBookDoesNotTakeIsKeptApart(t *testing.T) {
	s := newWorkshop(1)
	bench := s.bench(t, ash())
	s.add(t, bench, pull(18, 22))
	id := bench.Story().Bow().ID
	rec := need(bench.Apart(pull(20, 25)))(t)
	bow := bench.Story().Bow()
	bow.Name = "Ash, renamed"
	renamed := need(bench.RedescribedApart(bow))(t)
	same(t, "entries", len(bench.Story().Lines), 1)
	for range 2 {
		for _, rec := range []record.Record{rec, renamed} {
			for _, done := range s.imported(t, booktest.Written(t, rec)) {
				if done.New || done.DescribedElse || len(done.Differ) > 0 {
					t.Errorf("importing says %s", done)
				}
			}
		}
	}
	story := need(s.Story(id))(t)
	if n := len(story.Lines); n != 3 || story.Bow().Name != "Ash, renamed" {
		t.Errorf("there are %d entries of %s", n, story.Bow().Name)
	}
	made, err := s.NewBowApart(model.Bow{Name: "Elm", Units: bow.Units, Limbs: bow.Limbs})
	if err != nil || made.Bow.ID == "" || made.Bow.Name != "Elm" {
		t.Errorf("a new bow apart is %+v, %v", made.Bow, err)
	}
}

// Entries from a file go where their times put them, in whatever order they come; those without a time at the end.
func TestEntriesFromAFileStandWhereTheirTimesPutThem(t *testing.T) {
	at := func(hour int) time.Time { return time.Date(2027, 1, 10, hour, 0, 0, 0, time.UTC) }
	note := func(text string, when time.Time) model.Entry {
		return model.Entry{At: when, What: model.Note{Text: text}}
	}
	for name, c := range map[string]struct {
		entries []model.Entry
		want    string
	}{
		"newest first": {[]model.Entry{note("evening", at(18)), note("morning", at(8)), note("early", at(6))}, "early morning noon evening "},
		"no times":     {[]model.Entry{note("a", time.Time{}), note("b", time.Time{})}, "noon a b "},
		"some times":   {[]model.Entry{note("morning", at(8)), note("then", time.Time{})}, "morning then noon "},
	} {
		w := newWorkshop(1)
		w.time = at(12)
		bench := w.bench(t, ash())
		must(t, bench.Add(model.Note{Text: "noon"}, ""))
		arrivals := need(bench.Look(c.entries))(t)
		must(t, bench.Keep(arrivals))
		got := ""
		for _, line := range bench.Story().Lines {
			got += line.Entry.What.(model.Note).Text + " "
		}
		same(t, name, got, c.want)
	}
}
