package booktest

import (
	"fmt"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
)

// Bow is an invented bow for books of many, with so many entries, worked on since the given day: pass by pass at the tree, and where it
// is not in hand finished and handed over at the end. i tells it from the others.
func Bow(i, entries int, inHand bool, since time.Time) (record.Record, error) {
	stations := []measure.Length{6, 8, 12, 16, 20, 24, 28, 32}
	limb := model.Limb{Length: 34, Stations: stations}
	woods := []string{"ash", "yew", "hickory", "osage-orange", "elm"}
	bow := model.Bow{
		ID: fmt.Sprintf("bow-%05d", i), Name: fmt.Sprintf("Bow %d for customer %d", i, i%700), Wood: woods[i%len(woods)], Number: fmt.Sprint("26-", i),
		Units: measure.Imperial(), Handle: 4, HandleDepth: measure.Some[measure.Length](1.25), Limbs: [2]model.Limb{limb, limb},
		Order: model.Order{
			For: fmt.Sprint("customer ", i%700), Draw: measure.Some[measure.Length](28), Weight: measure.Some[measure.Force](45),
			Due: model.Day(since.AddDate(0, 2, i%60).Format(time.DateOnly)),
		},
		Rule: 1.0 / 16, Scale: 0.1,
	}
	desc, err := record.Describe(bow)
	if err != nil {
		return record.Record{}, err
	}
	rec := record.Record{Description: desc}
	for k, event := range work(stations, entries, inHand) {
		item, err := record.NewItem(model.Entry{ID: fmt.Sprintf("%d-%d", i, k), At: since.Add(time.Duration(i+5*k) * time.Minute), What: event}, bow.Units)
		if err != nil {
			return record.Record{}, err
		}
		item.Key[13], item.Key[14], item.Key[15] = 1, byte(k>>8), byte(k)
		rec.Items = append(rec.Items, item)
	}
	return rec, nil
}

// work is what was done on a bow, in so many entries.
func work(stations []measure.Length, entries int, inHand bool) []model.Event {
	var done []model.Event
	if !inHand {
		done = []model.Event{
			model.Finish{Step: "filed"}, model.Finish{Step: "sanded"}, weighed(39), model.Finish{Step: "marked", Text: "45 lb"},
			model.Finish{Step: "varnish", Coat: measure.Some(1)}, model.Finish{Step: "varnish", Coat: measure.Some(2)}, model.Finish{Step: "strung"},
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
			return model.Pull{Draw: draw, Peak: measure.Some(weight * measure.Force(draw-4) / 24), From: model.FromLine, Readings: gaps(draw / 32)}
		}
		if pass > 0 {
			side := model.Side(pass % 2)
			events = append(events, model.Scrape{Limb: side, From: 4, To: 12, Tool: "scraper", Strokes: measure.Some(10)}, model.Exercise{Pulls: 20})
		}
		events = append(events, model.Braced{Height: measure.Some[measure.Length](6), From: model.FromString, Readings: gaps(0.1)},
			pull(16), pull(20), pull(24), pull(28))
	}
	return append(events[:max(0, entries-len(done))], done[:min(entries, len(done))]...)
}

func weighed(peak measure.Force) model.Event {
	return model.Pull{Draw: 28, Peak: measure.Some(peak), From: model.FromLine}
}
