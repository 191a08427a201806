package table

import (
	"bytes"
	"encoding/csv"
	"maps"
	"slices"
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

// TestATableReadsBackEqual writes any story as a table and brings it into another book, in any other time zone:
// what has a place in a table is there then, each entry as it was; and a second time it brings nothing.
func TestATableReadsBackEqual(t *testing.T) {
	shifting, err := time.LoadLocation("Europe/Zurich") // whose hours are put back and on
	fatal(t, err)
	clocks, demos := []*time.Location{time.UTC, time.FixedZone("", -5400), shifting}, demoRecords(t)
	rapid.Check(t, func(t *rapid.T) {
		rec := reread(t, drawEntries(t, demos[rapid.IntRange(0, len(demos)-1).Draw(t, "bow")]))
		place, elsewhere := rapid.SampledFrom(clocks).Draw(t, "place"), rapid.SampledFrom(clocks).Draw(t, "elsewhere")
		plain := rapid.Bool().Draw(t, "plain")
		var file strings.Builder
		fatal(t, Write(&file, rec.Bow, session.Fold(rec.Description, rec.Items).Lines, place, plain))
		if strings.HasPrefix(file.String(), "\ufeff") == plain {
			t.Fatalf("plain %v, yet it begins %.10q", plain, &file)
		}
		if rapid.Bool().Draw(t, "decimal commas") {
			rewrite(t, &file)
		}
		told, err := Read(strings.NewReader(file.String()), rec.Bow, elsewhere)
		fatal(t, err)
		entries, faults := told.Entries()
		if faults > 0 {
			t.Fatalf("%+v\n%s", told, &file)
		}
		bench := benchOf(t, record.Record{Description: rec.Description})
		// A book that has the bow already knows every entry again, those without an id of their own too.
		knows := benchOf(t, rec)
		for again, c := range []struct {
			*shop.Bench
			fresh int
		}{{bench, len(rec.Items)}, {bench, 0}, {knows, 0}} {
			arrivals, err := c.Look(entries)
			if err != nil || arrivals.Differ > 0 || arrivals.New != c.fresh {
				t.Fatalf("coming the %d. time %d entries are new, want %d: %v (%v)\n%s", again+1, arrivals.New, c.fresh,
					arrivals.Are, err, &file)
			}
			fatal(t, c.Keep(arrivals))
		}
		var items []record.Item
		for _, line := range bench.Story().Lines {
			items = append(items, line.Item)
		}
		if want, have := meaning(t, rec, rec.Items), meaning(t, rec, items); !maps.Equal(have, want) {
			t.Fatalf("it came back as\n%s, was\n%s\n%s", have, want, &file)
		}
	})
}

// rewrite saves a table as a spreadsheet does where decimals have a comma.
func rewrite(t *rapid.T, file *strings.Builder) {
	cells, err := csv.NewReader(strings.NewReader(file.String())).ReadAll()
	fatal(t, err)
	for _, row := range cells[1:] {
		for i, cell := range row {
			if strings.Trim(cell, "-0123456789.") == "" {
				row[i] = strings.Replace(cell, ".", ",", 1)
			}
		}
	}
	file.Reset()
	to := csv.NewWriter(file)
	to.Comma = ';'
	fatal(t, to.WriteAll(cells))
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
	bow := model.Bow{ID: "b", Units: measure.Imperial()}
	const steers = "\r\x00\x1b\t\u009b\u0085\u007f\u202e\u2066\u200f\u061c\u2028\U000e0041"
	check := func(t rapid.TB, text string) {
		var file bytes.Buffer
		var all []cells
		for _, what := range []model.Event{model.Note{Text: text}, model.Finish{Step: text}} {
			rows, err := rowsOf(bow, model.Entry{ID: text, What: what}, time.UTC)
			fatal(t, err)
			all = append(all, rows...)
		}
		fatal(t, csv.NewWriter(&file).WriteAll(records(bow, all)))
		read, err := csv.NewReader(&file).ReadAll()
		fatal(t, err)
		for _, cell := range slices.Concat(read...) {
			trimmed := strings.TrimLeft(cell, " \u00a0\n")
			if trimmed != "" && strings.ContainsAny(trimmed[:1], "=+-@\t\r|%") {
				t.Fatalf("%q stands in a cell as %q", text, cell)
			}
			if strings.ContainsAny(cell, steers) {
				t.Fatalf("%q stands in a cell with control characters: %q", text, cell)
			}
		}
		if got := restore(defuse(text)); got != text {
			t.Fatalf("%q comes back as %q", text, got)
		}
	}
	for _, text := range append(formulas, "\u202e=1+1\u009b2J\u0085\u007f", `\u202e \x9b \`,
		"\u2066a\u2069\u200f\u061c\u2028\U000e0041") {
		check(t, text)
	}
	rapid.Check(t, func(t *rapid.T) { check(t, drawText(t)) })
}
