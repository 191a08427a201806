package table

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session/demo"
)

// formulas are cells that a spreadsheet would run (OWASP, "CSV Injection"), and text that looks like what
// defuse writes.
var formulas = []string{
	"=1+1", "=HYPERLINK(\"http://203.0.113.1\",\"x\")", "=cmd|' /C calc'!A0", "+1+1", "-1+1", "@SUM(1,1)", "\t=1+1",
	"\r=1+1", "\n=1+1", " =1+1", "  +1+1", "＝1+1", "＋1", "－1", "＠x", "'=1+1", "''=1+1", "'", "''", "'twas dry", "=",
	"-", "- a list", "|calc", "%0A=1", "\u00a0=1+1", "\ufeff=1", "\x00=1+1", "\x1b[2J=1", `\=1`, `=\r`, `\\`, `\x41`,
	`\r\n`, "a\r\nb", "\"=1+1\"", "\";=1+1;\"", "=1+1\r\n=2+2", ",=1+1", ";=1+1", "1;=1", "'\u200b=1+1", "plain", "",
	"00123", "1e5", "2027-01-10", "TRUE", "3/4", "ärger", "弓", "🏹 bow",
}

func drawText(t *rapid.T) string {
	return rapid.OneOf(rapid.SampledFrom(formulas), rapid.StringN(0, 12, 100),
		rapid.StringOfN(rapid.SampledFrom([]rune("'\\=+- \t\r\n\x00rx41a,;\"")), 0, 8, -1)).Draw(t, "text")
}

// demoRecords are the demo shop's records, in inches and in centimetres.
func demoRecords(t *testing.T) (all []record.Record) {
	in := record.NewReader(demo.Records(time.Date(2027, 2, 1, 12, 0, 0, 0, time.UTC)))
	for range 5 {
		rec, err := in.Next()
		fatal(t, err)
		all = append(all, rec)
	}
	return all
}

// drawEntries are some of a record's entries that have a place in a table, with some that bring any text and
// what the demo has not, in any units. Ids are a stranger's own, or follow from the entry.
func drawEntries(t *rapid.T, rec record.Record) record.Record {
	bow, err := rec.Bow, error(nil)
	bow.Units = measure.Units{
		Length: rapid.SampledFrom([]measure.LengthUnit{"in", "cm", "mm"}).Draw(t, "length"),
		Force:  rapid.SampledFrom([]measure.ForceUnit{"lbf", "kgf", "N"}).Draw(t, "force"),
	}
	rec.Description, err = record.Describe(bow)
	fatal(t, err)
	part := func(v float64) float64 { return rapid.Float64Range(0, v).Draw(t, "part") }
	count := measure.Some(rapid.IntRange(1, 99).Draw(t, "count"))
	block := &model.Block{Length: 6, At: []measure.Length{8, 12, 10}}
	block.Gaps[model.Lower] = []measure.Optional[measure.Length]{{}, measure.Some[measure.Length](0.125)}
	events := []model.Event{
		model.Braced{From: model.FromString, Block: block},
		model.Pull{Draw: 12, From: model.FromString, Held: measure.Some(3200 * time.Millisecond)},
		model.Scrape{From: 4, To: 12, Tool: drawText(t), Depth: measure.Some[measure.Length](0),
			DepthShare: measure.Some(part(.5))},
		model.Finish{Step: drawText(t), Coat: count, Grit: count, On: "2027-01-10", Text: drawText(t)},
		model.Moisture{Where: model.HomeAir, Content: measure.Some(part(.3) + .02),
			Humidity: measure.Some(part(.8) + .1)},
		model.Note{Text: drawText(t)},
	}
	for _, item := range rec.Items {
		if !slices.Contains([]model.Kind{model.KindVoid, model.KindEdit, model.KindRack}, item.Entry.What.Kind()) {
			events = append(events, item.Entry.What)
		}
	}
	rec.Items = nil
	for i, what := range rapid.SliceOfN(rapid.SampledFrom(events), 0, 8).Draw(t, "entries") {
		entry := model.Entry{What: what}
		if rapid.Bool().Draw(t, "id") {
			entry.ID = fmt.Sprintf("%s%d", drawText(t), i)
		}
		if rapid.Bool().Draw(t, "time") {
			entry.At = time.UnixMilli(1_700_000_000_000 + rapid.Int64Range(0, 4e10).Draw(t, "time")).UTC()
		}
		item, err := record.NewItem(entry, rec.Bow.Units)
		fatal(t, err)
		rec.Items = append(rec.Items, item)
	}
	return rec
}
