package session_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/session"
)

// unknown is a record with fields and a kind of entry that this version does not know, and entries without ids.
const unknown = `{"format":"bendbook/record","version":1,"units":{"length":"cm","force":"kgf"},` +
	`"bow":{"id":"a","name":"Hasel","limbs":{"upper":{"length":86.0,"stations":[15,20]},"lower":{"length":84,"stations":[15,20]}},"glue":"hide"},` +
	`"entries":[{"kind":"pull","draw":40.50,"peak":9.1,"wind":"none"},{"kind":"steamed","minutes":30},{"kind":"note","text":"x"},{"kind":"note","text":"x"}],` +
	`"shop":{"name":"<b>"}}` + "\n"

// imported brings a file into the shop and tells what came.
func (w *workshop) imported(t testing.TB, file string) []session.Imported {
	t.Helper()
	var all []session.Imported
	if err := w.Import(strings.NewReader(file), func(done session.Imported) { all = append(all, done) }); err != nil {
		t.Fatalf("Import: %v", err)
	}
	return all
}

// exported is every bow of the shop as JSON Lines.
func (w *workshop) exported(t testing.TB) string {
	t.Helper()
	var file bytes.Buffer
	if err := w.ExportAll(func(rec record.Record) error { return record.WriteLine(&file, rec) }); err != nil {
		t.Fatalf("ExportAll: %v", err)
	}
	return file.String()
}

func TestImportAndExportKeepWhatTheyDoNotKnow(t *testing.T) {
	w := newWorkshop(1)
	if got := w.imported(t, unknown); len(got) != 1 || !got[0].New || got[0].Entries != 4 || got[0].Name != "Hasel" {
		t.Errorf("the import tells %+v", got)
	}
	if got := w.exported(t); got != unknown {
		t.Errorf("the record comes out as\n%s\nwant\n%s", got, unknown)
	}
	if got := w.imported(t, unknown); got[0].New || got[0].Entries != 0 || len(got[0].Differ) != 0 {
		t.Errorf("the second import tells %+v", got)
	}
	if got := w.exported(t); got != unknown {
		t.Errorf("after the second import the record is\n%s", got)
	}
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
	if said := got[0].String(); said != "Elm[2J: 0 new entries; 1 entry is in the book with other text: the book's own stayed" {
		t.Errorf("it says %q", said)
	}
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
		var told []session.Imported
		err := w.Import(strings.NewReader(unknown+c.second), func(done session.Imported) { told = append(told, done) })
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: the error is %v, want one that says %q", c.name, err, c.says)
		}
		if got := w.exported(t); len(told) != 1 || got != unknown {
			t.Errorf("%s: told of %d records, and the book holds\n%s", c.name, len(told), got)
		}
	}
}

func TestImportIsAllOfARecordOrNothingOfIt(t *testing.T) {
	w := newWorkshop(1)
	w.book.Fail = errFull
	if err := w.Import(strings.NewReader(unknown), func(session.Imported) { t.Error("told of a bow that was not kept") }); !errors.Is(err, errFull) {
		t.Errorf("the error is %v", err)
	}
	w.book.Fail = nil
	if got := w.exported(t); got != "" {
		t.Errorf("the book holds %s", got)
	}
}

// TestExportOfABowThatWasCutShorterGoesBackIn: what was done beyond the new end was done all the same.
func TestExportOfABowThatWasCutShorterGoesBackIn(t *testing.T) {
	w := newWorkshop(1)
	bench := w.bench(t, ash())
	w.add(t, bench, scrape(model.Upper, 22, 34), pull(70, 30))
	bow := bench.Story().Bow()
	bow.Limbs[model.Upper].Length, bow.Limbs[model.Lower].Length, bow.Name = 31, 30, "Shorter"
	if err := bench.Redescribe(bow, ""); err != nil {
		t.Fatal(err)
	}
	file := w.exported(t)
	var now struct{ Bow struct{ Name string } }
	if err := json.Unmarshal([]byte(file), &now); err != nil || now.Bow.Name != "Shorter" {
		t.Errorf("the record describes %q (%v), want the bow as it is now", now.Bow.Name, err)
	}
	other := newWorkshop(2)
	other.imported(t, file)
	got, err := other.Story(bow.ID)
	if err != nil || !reflect.DeepEqual(got, bench.Story()) {
		t.Errorf("the bow came back as %+v (%v)", got.Bow(), err)
	}
}

// TestRecordWhoseDescriptionWasChangedByHandIsTakenAtItsWord: what the bow was first does not stand against that.
func TestRecordWhoseDescriptionWasChangedByHandIsTakenAtItsWord(t *testing.T) {
	w := newWorkshop(1)
	bench := w.bench(t, ash())
	bow := bench.Story().Bow()
	bow.Name = "Elm"
	if err := bench.Redescribe(bow, ""); err != nil {
		t.Fatal(err)
	}
	file := strings.Replace(w.exported(t), `"wood":"ash"`, `"wood":"yew"`, 1)
	other := newWorkshop(2)
	other.imported(t, file)
	if got, err := other.Story(bow.ID); err != nil || got.Bow().Wood != "yew" || got.Bow().Name != "Elm" {
		t.Errorf("the bow is %+v (%v)", got.Bow(), err)
	}
	if got := other.exported(t); got != file {
		t.Errorf("the record comes out as\n%s\nwant\n%s", got, file)
	}
}

func TestThousandBows(t *testing.T) {
	w := newWorkshop(1)
	for n := range 1000 {
		bow := ash()
		bow.Name, bow.Number = fmt.Sprintf("Bow %04d", n), fmt.Sprint(n)
		bench := w.bench(t, bow)
		w.add(t, bench, pull(18, 22))
	}
	file := w.exported(t)
	other := newWorkshop(2)
	if got := other.imported(t, file); len(got) != 1000 {
		t.Errorf("%d bows came of 1000", len(got))
	}
	if other.exported(t) != file {
		t.Error("the thousand bows came out otherwise than they went in")
	}
	rows, err := other.Rack()
	if err != nil || len(rows) != 1000 || rows[0].Bow.Name != "Bow 0999" {
		t.Errorf("the rack holds %d bows (%v), the last worked on is %q", len(rows), err, rows[0].Bow.Name)
	}
	if bow, err := other.Find("bow 0500"); err != nil || bow.Number != "500" {
		t.Errorf("found %q (%v)", bow.Name, err)
	}
	if _, err := other.Find("bow 05"); err == nil || len(err.Error()) > 400 || !strings.Contains(err.Error(), "and 90 more") {
		t.Errorf("what could be a hundred bows is told in %d letters", len(fmt.Sprint(err)))
	}
}
