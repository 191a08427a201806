package table

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the zones are known on a system without them too

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/booktest"
	"bendbook/session/shop"
)

// TestATableReadsBackEqual writes any story as a table and brings it into another book: what has a place in a
// table is there then, each entry as it was; and a second time it brings nothing.
func TestATableReadsBackEqual(t *testing.T) {
	shifting, err := time.LoadLocation("Europe/Zurich") // whose hours are put back and on
	fatal(t, err)
	clocks, demos := []*time.Location{time.UTC, time.FixedZone("", -5400), shifting}, demoRecords(t)
	rapid.Check(t, func(t *rapid.T) {
		rec := reread(t, drawEntries(t, demos[rapid.IntRange(0, len(demos)-1).Draw(t, "bow")]))
		place := rapid.SampledFrom(clocks).Draw(t, "place")
		var file bytes.Buffer
		fatal(t, Write(&file, rec.Bow, session.Fold(rec.Description, rec.Items).Lines, place))
		text := file.String()
		told, err := Read(strings.NewReader(text), rec.Bow, place)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		for _, row := range told.Rows {
			if row.Fault != nil {
				t.Fatalf("line %d: %v\n%s", row.Line, row.Fault, text)
			}
		}
		if len(told.Unused) > 0 {
			t.Fatalf("the columns %q are not known\n%s", told.Unused, text)
		}
		bench := benchOf(t, record.Record{Description: rec.Description})
		for again := range 2 {
			arrivals, err := bench.Look(told.Entries())
			if err != nil {
				t.Fatalf("%v\n%s", err, text)
			}
			if arrivals.Differ > 0 || again == 0 && arrivals.New != len(rec.Items) || again == 1 && arrivals.New != 0 {
				t.Fatalf("coming the %d. time %d entries of %d are new, %v\n%s", again+1, arrivals.New, len(rec.Items),
					arrivals.Are, text)
			}
			fatal(t, bench.Keep(arrivals))
		}
		want, have := meaning(t, rec, rec.Items), meaning(t, rec, itemsOf(bench.Story()))
		for id, doc := range want {
			if have[id] != doc {
				t.Fatalf("%q came back as\n%s, was\n%s\n%s", id, have[id], doc, text)
			}
		}
		if len(have) != len(want) {
			t.Fatalf("%d entries came back of %d", len(have), len(want))
		}
		// A book that has the bow already knows every entry again, those without an id of their own too.
		if arrivals, err := benchOf(t, rec).Look(told.Entries()); err != nil || arrivals.New > 0 || arrivals.Differ > 0 {
			t.Fatalf("the book that it came from sees %d new entries and %v (%v)\n%s", arrivals.New, arrivals.Are,
				err, text)
		}
	})
}

// reread gives the entries their ids, as a book would have them.
func reread(t *rapid.T, rec record.Record) record.Record {
	var doc bytes.Buffer
	fatal(t, record.WriteLine(&doc, rec))
	read, err := record.Parse(doc.Bytes())
	fatal(t, err)
	return read
}

// benchOf is the bench of a book that has just a record.
func benchOf(t *rapid.T, rec record.Record) *shop.Bench {
	s := shop.Open(booktest.New(), shop.Options{})
	var file bytes.Buffer
	fatal(t, record.WriteLine(&file, rec))
	fatal(t, s.Import(&file, func(shop.Imported) {}))
	bench, err := s.Bench(rec.Bow.ID)
	fatal(t, err)
	return bench
}

func itemsOf(story session.Story) []record.Item {
	var items []record.Item
	for _, line := range story.Lines {
		items = append(items, line.Item)
	}
	return items
}

// meaning is what each entry says, by its id, without what says nothing.
func meaning(t *rapid.T, rec record.Record, items []record.Item) map[string]string {
	all := make(map[string]string)
	for _, item := range items {
		entry := item.Entry
		entry.What = shop.Bare(entry.What)
		bare, err := record.NewItem(entry, rec.Bow.Units)
		fatal(t, err)
		all[entry.ID] = string(bare.Doc)
	}
	return all
}

// TestNoTextRunsInASpreadsheet puts every formula, and any text, into a table and looks at the cell as a
// spreadsheet gets it.
func TestNoTextRunsInASpreadsheet(t *testing.T) {
	check := func(t rapid.TB, text string) {
		bow := model.Bow{ID: "b", Units: measure.Imperial()}
		var file bytes.Buffer
		var all []*cells
		for _, what := range []model.Event{model.Note{Text: text}, model.Finish{Step: text}} {
			all = append(all, rowsOf(bow, model.Entry{ID: text, What: what}, time.UTC)...)
		}
		fatal(t, csv.NewWriter(&file).WriteAll(records(bow, all)))
		read, err := csv.NewReader(&file).ReadAll()
		fatal(t, err)
		for _, row := range read {
			for _, cell := range row {
				if trimmed := strings.TrimLeft(cell, " \u00a0\n"); trimmed != "" && strings.ContainsAny(trimmed[:1],
					"=+-@\t\r|%") {
					t.Fatalf("%q stands in a cell as %q", text, cell)
				}
				if strings.ContainsAny(cell, "\r\x00\x1b\t\u009b\u0085\u007f\u202e\u2066\u200f\u061c\u2028\U000e0041") {
					t.Fatalf("%q stands in a cell with control characters: %q", text, cell)
				}
			}
		}
		if got := restore(defuse(text)); got != text {
			t.Fatalf("%q comes back as %q", text, got)
		}
	}
	for _, text := range append(formulas, "\u202e=1+1\u009b2J\u0085\u007f", `\u202e \x9b \`, "\u2066a\u2069\u200f\u061c\u2028\U000e0041") {
		check(t, text)
	}
	rapid.Check(t, func(t *rapid.T) { check(t, drawText(t)) })
}
