package booktest

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
)

// Situation is the record of one of the situations that the verdict is held to, by its title.
func Situation(t testing.TB, title string) record.Record {
	t.Helper()
	doc, err := os.ReadFile(filepath.Join("..", "..", "testdata", "verdict", "situations.json"))
	if err != nil {
		t.Fatal(err)
	}
	var all []struct {
		Title  string
		Record json.RawMessage
	}
	if err := json.Unmarshal(doc, &all); err != nil {
		t.Fatal(err)
	}
	for _, s := range all {
		if s.Title != title {
			continue
		}
		rec, err := record.Parse(s.Record)
		if err != nil {
			t.Fatal(err)
		}
		return rec
	}
	t.Fatalf("there is no situation %q", title)
	return record.Record{}
}

// Written is a record as export writes it.
func Written(t testing.TB, rec record.Record) string {
	t.Helper()
	var b strings.Builder
	if err := record.Write(&b, rec); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// Bow is invented bow number i of a large book, with so many entries since the given day: passes at the tree,
// and finishing up to the handing over of one that is not in hand.
func Bow(i, entries int, inHand bool, since time.Time) (record.Record, error) {
	stations := []measure.Length{6, 8, 12, 16, 20, 24, 28, 32}
	limb := model.Limb{Length: 34, Stations: stations}
	woods := []string{"ash", "yew", "hickory", "osage-orange", "elm"}
	customer := fmt.Sprint("customer ", i%700)
	bow := model.Bow{
		ID: fmt.Sprintf("bow-%05d", i), Name: fmt.Sprintf("Bow %d for %s", i, customer),
		Number: fmt.Sprint("26-", i), Wood: woods[i%len(woods)], Units: measure.Imperial(), Handle: 4,
		HandleDepth: measure.Some[measure.Length](1.25), Limbs: [2]model.Limb{limb, limb},
		Order: model.Order{
			For: customer, Draw: measure.Some[measure.Length](28), Weight: measure.Some[measure.Force](45),
			Due: model.Day(since.AddDate(0, 2, i%60).Format(time.DateOnly)),
		},
		Rule: 1.0 / 16, Scale: 0.1,
	}
	desc, err := record.Describe(bow)
	rec := record.Record{Description: desc}
	for k, event := range work(stations, entries, inHand) {
		if err != nil {
			break
		}
		at := since.Add(time.Duration(i+5*k) * time.Minute)
		var item record.Item
		item, err = record.NewItem(model.Entry{ID: fmt.Sprintf("%d-%d", i, k), At: at, What: event}, bow.Units)
		item.Key[13], item.Key[14], item.Key[15] = 1, byte(k>>8), byte(k)
		rec.Items = append(rec.Items, item)
	}
	return rec, err
}

// work is what was done on a bow, in so many entries.
func work(stations []measure.Length, entries int, inHand bool) []model.Event {
	var done []model.Event
	if !inHand {
		done = []model.Event{
			model.Finish{Step: "sanded"}, model.Finish{Step: "marked", Text: "45 lb"},
			model.Finish{Step: model.HandedOver},
		}
	}
	gaps := func(per measure.Length) model.Readings {
		row := make([]measure.Optional[measure.Length], len(stations))
		for k, at := range stations {
			row[k] = measure.Some(measure.Length(int(16*per*at*at/100)) / 16)
		}
		return model.Readings{row, row}
	}
	var events []model.Event
	for pass := 0; len(events) < entries-len(done); pass++ {
		// Each pass takes a little off, ever less.
		weight := 40 + 1/measure.Force(pass+1)
		pull := func(draw measure.Length) model.Event {
			peak := measure.Some(weight * measure.Force(draw-4) / 24)
			return model.Pull{Draw: draw, Peak: peak, From: model.FromLine, Readings: gaps(draw / 32)}
		}
		if pass > 0 {
			side := model.Side(pass % 2)
			events = append(events,
				model.Scrape{Limb: side, From: 4, To: 12, Tool: "scraper", Strokes: measure.Some(10)},
				model.Exercise{Pulls: 20})
		}
		height := measure.Some[measure.Length](6)
		events = append(events, model.Braced{Height: height, From: model.FromString, Readings: gaps(0.1)},
			pull(16), pull(20), pull(24), pull(28))
	}
	return append(events[:max(0, entries-len(done))], done[:min(entries, len(done))]...)
}
