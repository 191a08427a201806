package table

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
)

// TestASpreadsheetShowsAndKeepsWhatWasSaid opens a table with every formula in every text in LibreOffice
// without a window: it finds no formula to run, and what it saves says the same. It is skipped where there is
// no LibreOffice.
func TestASpreadsheetShowsAndKeepsWhatWasSaid(t *testing.T) {
	office, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("there is no LibreOffice here to open the table in")
	}
	bow := longbow()
	bow.Name = "Ash"
	desc, err := record.Describe(bow)
	if err != nil {
		t.Fatal(err)
	}
	var items []record.Item
	add := func(what model.Event, id string) {
		item, err := record.NewItem(model.Entry{ID: id, At: time.Date(2027, 1, 10, 9, len(items), 0, 0, time.UTC),
			What: what}, bow.Units)
		if err != nil {
			t.Fatal(err)
		}
		items = append(items, item)
	}
	third := measure.Some(measure.Length(1.0 / 3))
	add(model.Pull{Draw: 18.0625, Peak: measure.Some[measure.Force](31.4), From: model.FromLine,
		Readings: model.Readings{{third, {}, third}, {third}}}, "p")
	add(model.Relaxed{Readings: model.Readings{{measure.Some[measure.Length](-0.0625)}, {}}}, "r")
	for _, text := range formulas {
		add(model.Note{Text: text}, "n"+text)
		add(model.Finish{Step: text}, text+"s")
	}
	rec := record.Record{Description: desc, Items: items}
	folder := t.TempDir()
	var file bytes.Buffer
	if err := Write(&file, bow, session.Fold(rec.Description, rec.Items).Lines, time.UTC); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "bow.csv"), file.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	convert := func(from, to, ending string) []byte {
		t.Helper()
		out := t.TempDir() // elsewhere, for the one that is read has the same name
		// Commas, quotation marks, UTF-8, from line 1; numbers are found as a click on Open finds them.
		cmd := exec.Command(office, "-env:UserInstallation=file://"+filepath.Join(folder, "profile"), "--headless",
			"--infilter=CSV:44,34,76,1,,0,false,true,false", "--convert-to", to, "--outdir", out, filepath.Join(folder, from))
		if said, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, said)
		}
		data, err := os.ReadFile(filepath.Join(out, "bow."+ending))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	flat := convert("bow.csv", "fods", "fods")
	if n := bytes.Count(flat, []byte("table:formula=")); n > 0 {
		t.Errorf("the spreadsheet found %d formulas", n)
	}
	if !bytes.Contains(flat, []byte(`office:value="31.4"`)) {
		t.Error("the spreadsheet found no number 31.4")
	}
	saved := convert("bow.csv", "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false", "csv")
	told, err := Read(bytes.NewReader(saved), bow, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	for i, entry := range told.Entries() {
		if i >= len(items) {
			t.Fatalf("%d entries came back of %d", len(told.Entries()), len(items))
		}
		got, want := told.Entries()[i], items[i].Entry
		if note, isNote := want.What.(model.Note); isNote && got.What != want.What && got.ID == want.ID {
			t.Errorf("the note %q came back as %q", note.Text, got.What)
		} else if got.ID != want.ID || !got.At.Equal(want.At) {
			t.Errorf("entry %d came back as %q at %v, was %q at %v", i, entry.ID, got.At, want.ID, want.At)
		}
		if step, isFinish := want.What.(model.Finish); isFinish && got.What != want.What {
			t.Errorf("the step %q came back as %v", step.Step, got.What)
		}
	}
	if len(told.Entries()) != len(items) || told.Faults() > 0 {
		i := slices.IndexFunc(told.Rows, func(r Row) bool { return r.Fault != nil })
		t.Errorf("%d entries came back of %d; line %d: %v", len(told.Entries()), len(items), told.Rows[max(i,
			0)].Line, told.Rows[max(i, 0)].Fault)
	}
	if pull, isPull := told.Entries()[0].What.(model.Pull); !isPull || pull.Draw != 18.0625 ||
		pull.Peak.Or(0) != 31.4 ||
		!strings.HasPrefix(decimal(float64(pull.Readings.At(0, 0).Or(0))), "0.333") {
		t.Errorf("the pull came back as %+v", told.Entries()[0].What)
	}
}
