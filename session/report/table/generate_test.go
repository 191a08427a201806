package table

import (
	"fmt"
	"math"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
)

// formulas are cells that a spreadsheet would run (OWASP, "CSV Injection"), and text that looks like what
// defuse writes.
var formulas = []string{
	"=1+1", "=HYPERLINK(\"http://203.0.113.1\",\"x\")", "=cmd|' /C " +
		"calc'!A0", "+1+1", "-1+1", "@SUM(1,1)", "\t=1+1", "\r=1+1", "\n=1+1", " =1+1", "  " +
		"+1", "＝1+1", "＋1", "－1", "＠x",
	"'=1+1", "''=1+1", "'", "''", "'twas dry", "=", "-", "- a " +
		"list", "|calc", "%0A=1", "\u00a0=1+1", "\ufeff=1", "\x00=1+1", "\x1b[2J=1", `\=1`, `=\r`, `\\`, `\x41`, `\r\n`, "a\r\nb", "\"=1+1\"", "\";=1+1;\"",
	"=1+1\r\n=2+2", ",=1+1", ";=1+1", "1;=1", "'\u200b=1+1", "plain", "", "00123", "1e5", "2027-01-10", "TRUE", "3/4", "ärger", "弓", "🏹 bow",
}

// generator draws bows and what happened to them.
type generator struct {
	t   *rapid.T
	bow model.Bow
}

func newGenerator(t *rapid.T) generator {
	g := generator{t: t}
	g.bow = model.Bow{ID: "the bow", Name: "any", Units: measure.Units{
		Length: rapid.SampledFrom([]measure.LengthUnit{measure.Inch, measure.Centimetre,
			measure.Millimetre}).Draw(t, "length unit"),
		Force: rapid.SampledFrom([]measure.ForceUnit{measure.PoundForce, measure.KilogramForce,
			measure.Newton}).Draw(t, "force unit"),
	}}
	g.bow.Handle = g.length("handle", 0, 8)
	for _, side := range model.Sides {
		limb := model.Limb{Length: g.length("limb", 30, 36)}
		for i := range rapid.IntRange(0, 4).Draw(t, "stations") {
			limb.Stations = append(limb.Stations, g.length("station", 7*float64(i)+6.1, 7*float64(i)+6.9))
		}
		g.bow.Limbs[side] = limb
	}
	return g
}

// number is to three decimals in the bow's own units, as a record has it.
func (g generator) number(label string, per, least, most float64) float64 {
	return math.Round(rapid.Float64Range(least, most).Draw(g.t, label)*per*1000) / 1000
}

func (g generator) length(label string, least, most float64) measure.Length {
	unit := g.bow.Units.Length
	return unit.Length(g.number(label, unit.PerInch(), least, most))
}

func (g generator) chance(label string) bool { return rapid.IntRange(0, 2).Draw(g.t, label) > 0 }

func (g generator) text(label string) string {
	return rapid.OneOf(rapid.SampledFrom(formulas), rapid.StringN(0, 12, 100),
		rapid.StringOfN(rapid.SampledFrom([]rune("'\\=+- \t\r\n\x00rx41a,;\"")), 0, 8, -1)).Draw(g.t, label)
}

func maybe[T any](g generator, label string, draw func() T) measure.Optional[T] {
	if g.chance(label + " known") {
		return measure.Some(draw())
	}
	return measure.Optional[T]{}
}

func (g generator) row(label string, n int, least, most float64) []measure.Optional[measure.Length] {
	var row []measure.Optional[measure.Length]
	for range rapid.IntRange(0, n).Draw(g.t, label+" count") {
		row = append(row, maybe(g, label, func() measure.Length { return g.length(label, least, most) }))
	}
	return row
}

func (g generator) readings(least float64) model.Readings {
	return model.Readings{g.row("upper", len(g.bow.Limbs[0].Stations), least, 6), g.row("lower",
		len(g.bow.Limbs[1].Stations), least, 6)}
}

func (g generator) event() model.Event {
	switch rapid.IntRange(0, 10).Draw(g.t, "kind") {
	case 0:
		return model.Relaxed{Readings: g.readings(-2)}
	case 1:
		return model.StringLength{Length: g.length("string", 50, 70)}
	case 2, 3:
		b := model.Braced{
			Height: maybe(g, "height", func() measure.Length { return g.length("height", 4, 8) }),
			From: rapid.SampledFrom([]model.Datum{model.FromLine, model.FromString}).Draw(g.t,
				"from"), Readings: g.readings(0),
		}
		if g.chance("block") {
			block := &model.Block{Length: g.length("block", 5, 7)}
			for range rapid.IntRange(0, 4).Draw(g.t, "places") {
				block.At = append(block.At, g.length("at", 1, 29))
			}
			if len(block.At) > 1 && rapid.Bool().Draw(g.t, "a place twice") {
				block.At[1] = block.At[0]
			}
			block.Gaps = model.Readings{g.row("gap", len(block.At), 0, .3), g.row("gap", len(block.At), 0, .3)}
			b.Block = block
		}
		return b
	case 4, 5:
		return model.Pull{
			Draw: g.length("draw", 8, 30), From: rapid.SampledFrom([]model.Datum{model.FromLine,
				model.FromString}).Draw(g.t, "from"), Readings: g.readings(0),
			Peak: maybe(g, "peak", func() measure.Force {
				unit := g.bow.Units.Force
				return unit.Force(g.number("peak", unit.PerPound(), 3, 120))
			}),
			Held: maybe(g, "held", func() time.Duration {
				return time.Duration(rapid.IntRange(1, 6000).Draw(g.t, "tenths")) * 100 * time.Millisecond
			}),
		}
	case 6:
		count := func() int { return rapid.IntRange(0, 99).Draw(g.t, "strokes") }
		return model.Scrape{
			Limb: rapid.SampledFrom(model.Sides[:]).Draw(g.t, "limb"), From: g.length("from", 0,
				10), To: g.length("to", 11, 29), Tool: g.text("tool"), Strokes: maybe(g, "strokes", count),
			Depth:      maybe(g, "depth", func() measure.Length { return g.length("depth", 0, .05) }),
			DepthShare: maybe(g, "share", func() float64 { return rapid.Float64Range(0, .5).Draw(g.t, "share") }),
		}
	case 7:
		return model.Exercise{Pulls: rapid.IntRange(0, 99).Draw(g.t, "pulls")}
	case 8:
		return model.Finish{
			Step: g.text("step"), Coat: maybe(g, "coat", func() int { return rapid.IntRange(1, 9).Draw(g.t, "coat") }),
			Grit: maybe(g, "grit", func() int { return rapid.IntRange(40, 400).Draw(g.t, "grit") }),
			On:   rapid.SampledFrom([]model.Day{"", "2027-01-10"}).Draw(g.t, "on"), Text: g.text("stamped"),
		}
	case 9:
		return model.Moisture{
			Where:   rapid.SampledFrom([]model.Air{model.ShopAir, model.HomeAir}).Draw(g.t, "where"),
			Content: measure.Some(rapid.Float64Range(0.02, .3).Draw(g.t, "content")),
			Celsius: maybe(g, "celsius", func() float64 {
				return rapid.Float64Range(-10, 40).Draw(g.t,
					"celsius") + 0
			}),
			Humidity: maybe(g, "humidity", func() float64 { return rapid.Float64Range(.1, .9).Draw(g.t, "humidity") }),
		}
	}
	return model.Note{Text: g.text("note")}
}

// record is the bow with its entries, as it travels. Ids are a stranger's own, or follow from the entry.
func (g generator) record() record.Record {
	desc, err := record.Describe(g.bow)
	if err != nil {
		g.t.Fatal(err)
	}
	rec := record.Record{Description: desc}
	for i := range rapid.IntRange(0, 8).Draw(g.t, "entries") {
		entry := model.Entry{What: g.event()}
		if g.chance("id") {
			entry.ID = fmt.Sprintf("%s%d", g.text("id"), i)
		}
		if g.chance("time") {
			entry.At = time.UnixMilli(1_700_000_000_000 + rapid.Int64Range(0, 4e10).Draw(g.t, "time")).UTC()
		}
		item, err := record.NewItem(entry, g.bow.Units)
		if err != nil {
			g.t.Fatal(err)
		}
		rec.Items = append(rec.Items, item)
	}
	return rec
}
